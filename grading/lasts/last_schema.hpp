// The schema of a last's file, grading/lasts/last.schema.json, built into the program.
#pragma once

#include <string_view>

#include "grading/json/json_schema.hpp"

namespace lastwright {

std::string_view last_schema_text();
const JsonSchema& last_schema();

}  // namespace lastwright
