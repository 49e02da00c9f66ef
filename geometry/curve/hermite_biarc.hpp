// Two tangent-continuous arcs between two points with given directions.
#pragma once

#include <array>

#include "geometry/curve/arc_segment.hpp"

namespace lastwright {

// From p0, leaving along the unit vector t0, to p1, arriving along the unit vector t1. The joint is the middle of the
// control polygon p0, p0 + d t0, p1 - d t1, p1 with both tangent lengths equal; d > 0 solves
//   2 (1 - t0.t1) d^2 + 2 v.(t0 + t1) d - v.v = 0,  v = p1 - p0,
// taken in the form without cancellation. Straight data give two straight parts. Directions that both point against v
// have no such biarc short of a full turn: the parts then sweep far, which callers see as a bad fit and split.
std::array<ArcSegment, 2> hermite_biarc(Vec2 p0, Vec2 t0, Vec2 p1, Vec2 t1);

// Farthest of the points (given along the way) from the nearer of the two arcs.
double distance_from(const std::array<ArcSegment, 2>& biarc, Vec2 p);

}  // namespace lastwright
