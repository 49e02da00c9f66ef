// What a style's schema cannot say: names that are used exist, and edges go round their piece.
#pragma once

#include <string>
#include <vector>

#include "grading/style/style.hpp"

namespace lastwright {

struct StyleFault {
  std::string pointer;  // JSON pointer into the style file
  std::string message;
};

// All faults in the order of the file; empty: every name is known and unique. Pure names and numbers: whether
// a corner lies on its outline is for grading/pieces/piece_bind, if rules agree for grading/grade/grade_map.
std::vector<StyleFault> check_style(const StyleSpec& style);

}  // namespace lastwright
