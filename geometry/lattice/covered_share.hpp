// How much of a convex polygon an obstacle covers, as the polygon shrinks about the origin.
#pragma once

#include "geometry/lattice/sum_obstacle.hpp"

namespace lastwright {

// A share s, at most 1, such that every point of s times `polygon` is inside the obstacle: never more than
// the greatest such share, and less by 0.004 at most (more where the obstacle has gaps narrower than a
// thousandth of its size). 0 where the origin is not inside. Precondition: `polygon` is convex,
// counter-clockwise, and holds the origin.
double covered_share(const SumObstacle& obstacle, const Polygon& polygon);

}  // namespace lastwright
