// The works file: JSON in, WorksSpec out. grading/planning/works.schema.json documents every key.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/checked.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

class JsonSchema;

std::string_view works_schema_text();
const JsonSchema& works_schema();

// All problems found: what the schema refuses, and what the file contradicts itself in.
Checked<WorksSpec> read_works(std::string_view text, std::string file);

}  // namespace lastwright
