// The old drawing and the new one over each other, with what moved.
#pragma once

#include <string>

#include "grading/redraw/redraw_style.hpp"

namespace lastwright {

// One page in true size: the pieces side by side, the old outline grey and
// dashed, the new one black; from each corner that moved an arrow's line
// with its distance, and where an edge leaves the old outline most, how far.
std::string redraw_svg(const std::string& style, const Redraw& redraw);

}  // namespace lastwright
