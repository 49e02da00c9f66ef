// Whether two pieces are drawn alike, to the last digit.
#pragma once

#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

// Its curves, what is drawn in it, its spots, and which edges are straight or held: all that its shape in
// every size is made from. Names, allowances and features may differ.
bool same_drawn(const BoundPiece& a, const BoundPiece& b);

}  // namespace lastwright
