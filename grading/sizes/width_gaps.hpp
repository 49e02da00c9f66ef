// Neighbouring widths of a run that are not neighbours on their ladder, as where it has half types and whole
// ones are made. What a style states for a width step is then not what lies between two of its widths.
#pragma once

#include <string>
#include <vector>

#include "grading/sizes/scale.hpp"

namespace lastwright {

struct WidthGap {
  Width narrower;
  Width wider;
  WidthSteps steps;  // above 0, and not 1
};
// In any order given, narrowest first; none where each width is one step from the next.
std::vector<WidthGap> width_gaps(std::vector<Width> widths);

// Whether these are two or more whole numbers one apart, in any order: 2, 1, 3. Who writes them means steps
// from each to the next.
bool whole_in_a_row(const std::vector<std::string>& labels);

}  // namespace lastwright
