// Lasted edges of two layers that lie on one feather.
//
//   lasting margin        an inner piece (a lining, a stiffener, a puff) is lasted with more than the outer
//                         piece it lies under: it would show beyond its edge
//   feather apart         the two run on each other, part, and meet again: one of them is drawn otherwise
//   back apart            an inner piece stands out beyond the back edge of all that covers it
//
// All of it may be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

std::vector<StyleFinding> check_lasted(const StyleGrade& grade);

}  // namespace lastwright
