// Edges without an allowance that run on where a lasted edge ends: the upper would end there at the feather.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// "lasting margin": raw edges, and lasted ones of no allowance, in line with a lasted edge of the same forme
// and layer, of another piece or their own, from one end on. Not those that lie on a lasted edge
// (margin_check), that a seam names, or that are the fold of their piece.
void add_feather_ends(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all);

}  // namespace lastwright
