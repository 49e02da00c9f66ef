// Pieces whose place on their forme nothing in the drawing proves.
#pragma once

#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Such a piece that lies well within its forme is proposed as drawn: a guess to be confirmed, and no doubt
// that stays for ever. So is one that would be refused as lying off its forme: the draft put it there.
// `bound`: the pieces of the style, bound to its drawings.
void propose_as_drawn(const std::vector<BoundPiece>& bound, StyleSpec& style);

}  // namespace lastwright
