// The inside's and the outside's copy of one part: pieces of one layer whose edges lie on each other over
// most of their outlines, on one side of them. What is done at such edges is done on both, so what one has
// and the other has not is told: treatments, allowances in any size, held and straight edges, rows, nicks,
// size marks and skives along them, slots, ties, materials, grain lines, hands and numbers; lasted edges
// between the same two ends that are drawn a little apart; holes of one name, and drawn ones where both have
// as many. A single hole, a buckle or a text that one has alone is not told: a buckle sits outside. Edges
// that a mirrored seam joins are left to the checks of seams: one side goes under the other there.
//
// Open edges of one name that are drawn up to 5 mm apart, of two pieces that have another edge in common, are
// told as a figure: a top line may be cut higher on one side.
//
// Formes of the bottom are left out: insole and outsole are no copies.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// One for each two pieces that differ, doubtful; the worst is the number of differences. And one for each two
// open edges apart, in millimetres, not doubtful.
std::vector<StyleFinding> check_alike(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
