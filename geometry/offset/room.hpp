// How much of an edge the corner at one of its ends may take.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/offset/moved_edge.hpp"

namespace lastwright {

// mm that the edge before a corner may be cut back from its end, and the edge after it from its start.
struct CornerRoom {
  double in = 0.0;
  double out = 0.0;
};

// Of the corner between edge `i` and edge `k`, the one after it. A corner may take nine tenths of an edge
// less what the corner at the other end asks for, and two fifths of it in any case; so the two never ask for
// the same part, and as long as a tenth is left neither is held back by the other. What the other end asks
// for is reckoned on straight lines along the edges' directions there; where the edge is curved it counts
// four times, which is as far as a cut of a curved edge is looked for (geometry/offset/cut_back). Edges that
// follow each other on one course count together.
CornerRoom room_at(const std::vector<MovedEdge>& edges, std::size_t i, std::size_t k,
                   const OffsetOptions& options);

}  // namespace lastwright
