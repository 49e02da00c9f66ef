// The net line of a piece whose drawing shows the cut line, recovered once, in the base.
//
// The inverse of adding allowances (grading/pieces/allowance). Every edge of the drawn cut line is moved
// inward by its own allowance: lines parallel, arcs concentric, splines within 1e-6 mm
// (geometry/inset/parallel_curve). Neighbours are cut back to where they meet, or run on to there: a line
// along its line, an arc along its circle, a spline along the circle that it ends with. What the form of a
// corner adds to a cut line (the cut across a square corner, the arc of a round one, a step) belongs to no
// edge. What its form explains is tried first; then whatever else of the curves beside a named corner may be
// of it, with the proof below to judge. Of net lines that pass, the one with the fewest corners that have no
// name counts. Where the net line runs on beyond what the cut line shows (hollow corners of curved edges),
// how it curves there is not in the drawing.
#pragma once

#include <span>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/units.hpp"
#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

// `piece.edges`: of the drawn cut line. They become those of the net line, with the same names and corners,
// and nicks move across to it. `allowances`: of the base size, one for each edge. That these allowances
// added to the net line give the drawn cut line within tolerance::kOffset is proved before it counts. A piece
// drawn net is left as it is.
//
// Fails where there is no such net line: an edge is used up, neighbours do not meet, the line crosses
// itself, a curve is tighter than its allowance, the proof fails, or two net lines do equally well (or one
// with fewer nameless corners fails it by less than 0.1 mm). The Problem names the edge, the place, the
// allowance as value and what would do as limit where one edge is to blame, and the remedy.
Status recover_net(BoundPiece& piece, std::span<const Millimetres> allowances);

}  // namespace lastwright
