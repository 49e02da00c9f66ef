// Edges of a piece that is drawn whole, as its own mirror image.
#pragma once

#include <vector>

#include "grading/draft/draft_piece.hpp"

namespace lastwright {

// What is cut as its own mirror image has on both sides what is proposed on one, where its neighbour is
// drawn: an edge without an allowance takes the treatment and the allowance of its mirror image.
void treat_image(DraftPiece& piece, std::vector<Proposed>& proposed);

}  // namespace lastwright
