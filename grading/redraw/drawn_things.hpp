// What is drawn in a piece besides its outline, and what became of it in a new drawing.
#pragma once

#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

// A sentence for each hole, notch, text, line, cut-out, grain or mirror line that has moved, is drawn
// otherwise, is gone or is new. What lies all along within kSameDrawn of one of its kind is the same; what
// is within `reach` has moved; of several of one kind those that moved together (pair_places). Places are
// those of the drawing as its sheet lies, also of a piece that is laid onto its forme from elsewhere.
void tell_drawn_things(const BoundPiece& was, const BoundPiece& now, double reach,
                       std::vector<std::string>& told);

// Whether as many nicks are drawn, and as deep.
bool nicks_as_deep(const BoundPiece& was, const BoundPiece& now);

}  // namespace lastwright
