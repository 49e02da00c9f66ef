// What moves with a run of held edges though it lies on none of them.
//
// The field that holds the edges of a strap bends a little between them, and a strap's holes lie there: they
// would drift within a strap that keeps its shape. And a held edge that meets the fold of its piece goes on
// in the other half, as its mirror image: the two are one body, which cannot turn against the fold.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Further points of the body that `run`, held edges of `piece` which follow each other, is:
// - where the run goes round a strap or a tab (all along, opposite places are no farther apart than half its
//   length), places midway between them, and holes, marks and the places of features in between;
// - where it meets the fold of its piece and that lies on the base line, a place of the fold beside that.
// Moving, turning or mirroring what is drawn does the same to them, as does drawing the run the other way
// round.
std::vector<Vec2> held_inside(const BoundPiece& piece, const std::vector<Curve>& run, const FormeSpec& forme);

}  // namespace lastwright
