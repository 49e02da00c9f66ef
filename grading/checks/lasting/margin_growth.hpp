// Edges that run at one distance from another piece's outline in the base and not in the set.
//
// A piece moves with its forme, and so does what lies beside it: a rim of 3 mm that is drawn round the
// bottom, or a lining drawn 2 mm above its upper, grows and shrinks with them. What no size is to change is
// an allowance: an edge drawn on the other piece's, with the rim as its allowance, keeps it.
//
// Asked of finished edges, on one forme, that are bent and run at one distance of 0.3 to 20 mm, within 0.1
// mm, over four fifths of their length at least. Not in sizes for which either piece is tied.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

inline constexpr double kMarginDrift = 0.25;  // of the base's distance: beyond it has to be read

// "margin growth": one for each two pieces whose distance departs from the base's by more than 0.05 mm, of
// the edge where it is worst, in millimetres; doubtful beyond kMarginDrift.
std::vector<StyleFinding> check_margin_growth(const StyleGrade& grade);

}  // namespace lastwright
