// An edge of a piece in one size and width, as a seam sees it.
#pragma once

#include <optional>
#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct SewnEdge {
  OpenArcPath path;  // of the net line, from the edge's first corner to its last
  double length = 0.0;
  Radians angle_at_start;  // inside the piece
  Radians angle_at_end;
  std::vector<double> nicks;  // mm from the start, ascending: drawn ones and those that the style states
};

// `net` and `lines`: of the piece as it is drawn. None when nothing of the net line belongs to the edge.
std::optional<SewnEdge> sewn_edge(const EdgedOutline& net, const std::vector<GradedLine>& lines,
                                  const BoundPiece& bound, std::size_t edge);

// The same from its last corner to its first.
SewnEdge reversed(SewnEdge edge);

}  // namespace lastwright
