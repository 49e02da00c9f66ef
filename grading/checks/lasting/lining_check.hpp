// Open edges of linings beside those of the uppers they lie under: a lining stands out beyond the edge that
// it is sewn to and is trimmed there, or ends with it. One that ends short of it, or one of several that does
// not stand out as its like do, is told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// "lining short", doubtful ones alone; the worst is by how much, in millimetres:
//   cut nearer than the upper on whose trimmed edge it lies;
//   cut at the finished edge of a folded or bound upper, where another edge of its layer on such an edge
//   has an allowance.
std::vector<StyleFinding> check_linings(const StyleGrade& grade);

}  // namespace lastwright
