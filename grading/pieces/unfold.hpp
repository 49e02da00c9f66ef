// Pieces that are cut double: the drawn half and its mirror image through the fold, as one outline.
#pragma once

#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// `piece.net` is the half as graded; the segments of `fold_edge` must form one straight line. The fold
// becomes an internal line (Operation::kFold). Edges keep their numbers on both halves. Lines, cut-outs,
// holes and nicks are doubled, except those that are their own mirror image: a hole whose centre lies on the
// fold, a nick at its end, a slot drawn whole across it. Texts and the grain line are not doubled.
// Fails when the fold is not straight or the outline has no such edge. The outline starts at the fold's end
// and comes by its start half way round.
Result<GradedPiece> unfolded(const GradedPiece& half, std::uint16_t fold_edge);

}  // namespace lastwright
