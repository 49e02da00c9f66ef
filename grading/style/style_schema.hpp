// The schema of the style file, grading/style/style.schema.json, built into the program.
#pragma once

#include <string_view>

#include "grading/json/json_schema.hpp"

namespace lastwright {

std::string_view style_schema_text();
const JsonSchema& style_schema();

}  // namespace lastwright
