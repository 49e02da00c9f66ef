// Allowances: the cut line from the net line, or the net line from a drawn cut line.
#pragma once

#include <span>

#include "grading/bound_piece.hpp"
#include "grading/graded_piece.hpp"

namespace lastwright {

// Adds each edge's allowance outside its net line (Drawn::kNet: piece.cut is made from piece.net), or takes
// it away inside a drawn cut line (Drawn::kCut: piece.net, as graded, is the cut line, and the net line is
// recovered from it). Corners are mitred, square where a mitre would run too far. `edges` are those that
// EdgedOutline::edge counts. Fails where an allowance does not fit: the Problem names the piece, the edge
// with the largest allowance near the place, and how large the allowances could be.
Status apply_allowances(std::span<const BoundEdge> edges, Drawn drawn, GradedPiece& piece);

}  // namespace lastwright
