// Where the names of a piece's edges stand: inside the net line, along the middle of each edge.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/svg_canvas.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct EdgeName {
  std::size_t edge = 0;
  SvgText style;
};

// Edges too short for their name at a readable height are left out; the sheet lists all of them anyway.
std::vector<EdgeName> place_edge_names(const EdgedOutline& net, const std::vector<std::string>& names,
                                       double height);

}  // namespace lastwright
