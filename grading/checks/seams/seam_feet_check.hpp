// Whether the feet that pieces are stated to be drawn for go with the seams between them.
#pragma once

#include <vector>

#include "grading/checks/piece_hands.hpp"
#include "grading/grade/finding.hpp"

namespace lastwright {

struct StyleSpec;

// Adds "seam feet": one that fails for each two pieces whose seams contradict the feet that are stated or
// each other (grading/style/seam_feet): what is marked L would not go into one left shoe. Fails too for a
// piece that says "both" of a number that cannot be shared so. Doubtful: a piece that states a foot and is
// cut alike for both; and pieces of two layers sewn on each other whose feet only the style states, for what
// lies with its good side to the foot is for the other one. `hands`: of all pieces; without them the style's
// word is taken.
void add_seam_feet(const StyleSpec& style, const std::vector<PieceHands>& hands,
                   std::vector<StyleFinding>& findings);

}  // namespace lastwright
