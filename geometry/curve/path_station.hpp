// Where along a path of lines and arcs it lies nearest to a point.
#pragma once

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct PathStation {
  double along = 0.0;  // mm of path from its first vertex
  double off = 0.0;    // mm from the point; infinite of a path without segments
};
// Exact on the arcs; of several places equally near the first.
PathStation nearest_station(const OpenArcPath& path, Vec2 point);
PathStation nearest_station(const ClosedArcPath& path, Vec2 point);

}  // namespace lastwright
