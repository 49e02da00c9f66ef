// What is to be looked at before anything is marked left or right.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/finding.hpp"

namespace lastwright {

// A line for each finding that puts a foot in doubt without failing: "drawn foot", "seam feet", "sole hand".
// "LOOK: Trial derby: drawn foot, quarter outside: its name says outside ...". For every order and ticket
// that calls pieces L and R.
std::vector<std::string> feet_told(const std::string& style, const std::vector<StyleFinding>& findings);

}  // namespace lastwright
