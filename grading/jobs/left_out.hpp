// What the drawings of a style hold and no piece has: whoever writes what steel or leather is cut by says it.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"

namespace lastwright {

// left_out_lines of all its drawings, as `check` and `grade` say them.
std::vector<std::string> left_out_of(const LoadedStyle& style);

// What and how many, of left_out_lines, in one line: "upper.dxf: left out: 5 entities: 2 LINE on the layer
// 99, 3 CIRCLE on the layer 8; ...". At most six kinds and layers, and how many more. Empty where there are
// none.
std::string left_out_in_short(const DrawingAccount& account);

// A line for each drawing of which something is left out (left_out_in_short).
std::vector<std::string> left_out_in_short_of(const LoadedStyle& style);

}  // namespace lastwright
