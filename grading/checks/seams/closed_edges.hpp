// Edges of two layers that lie on each other in the base, the one closed and the other treated as what is
// not.
//
// The back of a quarter of which four are cut for a pair is sewn to its own other hand, and so is that of its
// lining: no seam of the style names either, so nothing compares the two sides of it.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// "closed edge", doubtful, one for each such pair; the worst is the length over which the two lie on each
// other, the material of both on one side:
//
//   one is a closed or an open seam and the other lasted, and nothing is known to be sewn there to the
//   bottom; or
//   the first is of a piece of which four are cut for a pair, or in a mirrored seam, and no seam names the
//   other, which is raw, lapped, folded, bound or trimmed, of a piece of which four are cut for a pair.
//
// Of pieces of one layer it is the seams that tell.
std::vector<StyleFinding> check_closed_edges(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
