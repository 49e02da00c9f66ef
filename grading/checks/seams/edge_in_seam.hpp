// An edge of a piece in one size and width, as a seam sees it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// A nick within an edge. Drawn ones are counted from 0 in the order of the piece's drawn nicks; the stated
// ones from -1 downward in the order of its features: the same nick has the same number in every size.
struct NickInSeam {
  double along = 0.0;  // mm from the start of the edge
  int number = 0;
};
// "a drawn nick", or the name of the feature.
std::string name_of(const NickInSeam& nick, const PieceSpec& piece);

struct EdgeInSeam {
  OpenArcPath path;  // of the net line, from the edge's first corner to its last
  double length = 0.0;
  Radians angle_at_start;  // inside the piece
  Radians angle_at_end;
  std::vector<NickInSeam> nicks;  // ascending: drawn ones and those that the style states
};

// `net` and `lines`: of the piece as it is drawn. None when nothing of the net line belongs to the edge.
std::optional<EdgeInSeam> edge_in_seam(const EdgedOutline& net, const std::vector<GradedLine>& lines,
                                       const BoundPiece& bound, std::size_t edge);

// The same from its last corner to its first.
EdgeInSeam reversed(EdgeInSeam edge);

}  // namespace lastwright
