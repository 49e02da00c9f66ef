// Points of a forme that a draft states by what they are, so that they live with the drawing.
#pragma once

#include <vector>

#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// A point that is no corner of a piece but lies on an edge of one that lies where it is drawn is stated as a
// share of that edge, to a hundred-millionth of its length, and put exactly there; the others keep their
// coordinates. Precondition: the style has the formes and pieces, and no references yet.
void state_references(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                      StyleSpec& style);

}  // namespace lastwright
