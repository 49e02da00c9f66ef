// The works file by itself, as commands that take no order read it.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

// Of what is wrong with it the first.
Result<WorksSpec> load_works(const std::string& file);

}  // namespace lastwright
