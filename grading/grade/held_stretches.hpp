// The edges of a forme's pieces that keep their shape, as points that move as one.
#pragma once

#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// One stretch for each set of held edges that hang together: an edge in two parts, neighbours that share a
// corner, mates that lie on each other. Its points lie at given shares of the length of each run of edges, so
// they do not depend on how an edge is drawn; corners are among them, and what belongs to them inside the
// piece (grading/grade/held_inside).
std::vector<HeldStretch> held_stretches(const FormeSpec& forme, const std::vector<BoundPiece>& pieces);

// The largest distance of two of them.
double farthest_apart(const std::vector<Vec2>& points);

}  // namespace lastwright
