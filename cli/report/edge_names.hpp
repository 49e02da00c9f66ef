// Where the names of a piece's edges stand: along each edge, off all that is drawn there.
#pragma once

#include <string>
#include <vector>

#include "cli/report/label_room.hpp"

namespace lastwright {

struct EdgeName {
  std::size_t edge = 0;
  SvgText style;
};

// Inside the net line, near the middle of the edge if there is room; else farther along it or farther in;
// else outside the cut line. Edges too short for their name at a readable height are left out, as are names
// for which there is no room; the sheet lists all of them anyway. What is placed is taken from the room.
std::vector<EdgeName> place_edge_names(const GradedPiece& piece, const std::vector<std::string>& names,
                                       double height, LabelRoom& room);

}  // namespace lastwright
