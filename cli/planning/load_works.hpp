// The works file by itself: every command that takes one reads it here.
#pragma once

#include <string>

#include "grading/planning/works_json.hpp"

namespace lastwright {

// All that is wrong with it, or that it cannot be read.
Checked<WorksSpec> load_works(const std::string& file);

}  // namespace lastwright
