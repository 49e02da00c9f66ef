// Corners of unequal distances, where the edge with the larger one ends before its corner.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/offset/corner.hpp"
#include "geometry/offset/moved_edge.hpp"

namespace lastwright {

// Closed outlines; joins[i] follows edges[i]. A negative run cuts a straight edge back along itself. Where
// that edge is curved or too short for it, the run would leave it: instead the edge, or one further from the
// corner on the same course, is ended where the line of the other edge crosses it. Edges used up on the way
// are taken out together with their joins. Where no crossing is found within the edge's room, or only one
// behind the outline itself, the corner is made in full, which cuts back nothing.
void cut_back(std::vector<MovedEdge>& edges, std::vector<Join>& joins, const OffsetOptions& options);

}  // namespace lastwright
