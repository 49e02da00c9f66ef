// Edges that look sewn to each other and that no seam names: nothing is checked of how they meet.
//
// At least one of the two is in no seam, neither lies on a fold, and in the sample they
//
//   lie on each other, their pieces side by side in one layer, and one is stated as more than raw, lasting
//     or trim; or both are raw, and all of the shorter lies on the other;
//   lie on each other with their pieces on one side, both closed, open or bagged; or
//   lie apart, as long and of the same shape to a tenth of a millimetre, and stated as what is sewn together:
//     pieces that are drawn beside each other.
//
// or have both ends in common, face each other and run apart in between, neither in a seam: mates that are
// not drawn alike; by 5 mm at most where one is shorter by more than a fifth, or both are folded or bound, as
// round an opening. Or one end alone, and run apart from there by 5 mm and a fifth of their length at most.
// Not the feather edges of an upper that is sewn to its bottom.
//
// or lie on each other in two layers, neither in a seam, where a seam joins other edges of the two pieces
// that are treated as these are: a lining is sewn to its upper all along.
//
// or so lie in two layers, one of them in a seam with the like edge of another piece, where of its piece four
// are cut for a pair and of the other two two: the lining of both quarters is sewn to both.
//
// Where one is much longer than the other, both have to be in no seam: it is for others too.
//
// A piece that is cut twice for each shoe may be sewn to its own mirror image: its edges want no other.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// One finding for each such pair, doubtful; the worst is the length over which the two lie on each other.
// Whether the upper is sewn to the bottom by seams of this treatment, as to a strobel sock: pieces of an
// upper and of a bottom have edges of it that no seam names, those of the upper along the base line.
bool sewn_to_bottom(const StyleSpec& style, const StyleGrade& grade, Treatment treatment);
// Whether this edge of an upper is one of those.
bool at_sewn_feather(const StyleSpec& style, const StyleGrade& grade, std::size_t piece, std::size_t edge);

std::vector<StyleFinding> check_unsewn(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
