// Hollow corners between different distances: the line of the wider edge runs on over the narrower one's.
#pragma once

#include <vector>

#include "geometry/offset/corner.hpp"
#include "geometry/offset/moved_edge.hpp"

namespace lastwright {

// A join of kind kHollow gets its runs and its way back; which uneven hollow corners are of this kind is
// judged anew where the narrower edge bends before it comes to lie beside the end of the wider one. The wider
// edge's line runs on until it meets an edge of the outline, moved or not, but no farther than join.widest,
// no farther than 1.75 times the wider distance, by less where the turn is below 30 degrees (see
// HollowCorner::farthest), not at all where join.steps, and only as long as it lies square above the outline
// that follows. What lies below belongs to the result, whatever the edges there sweep themselves: so it does
// not matter into how many edges the outline is split, or what other corners run over it.
//
// `edges`: all of the outline in order, moved and not yet cut anywhere; joins[i] follows edges[i].
void run_on(const std::vector<MovedEdge>& edges, std::vector<Join>& joins, bool closed, double mitre_limit);

}  // namespace lastwright
