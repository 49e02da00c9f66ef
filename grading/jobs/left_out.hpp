// What the drawings of a style hold and no piece has: whoever writes what steel or leather is cut by says it.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"

namespace lastwright {

// left_out_lines of all its drawings, as `check` and `grade` say them.
std::vector<std::string> left_out_of(const LoadedStyle& style);

}  // namespace lastwright
