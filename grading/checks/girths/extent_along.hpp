// How far an outline reaches along a direction, and to the sides of it.
#pragma once

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct ExtentAlong {
  double low = 0.0;  // mm along the direction, from the origin
  double high = 0.0;
  double reach =
      0.0;  // mm to either side of the line through the origin: a chord that long crosses all of it
};

// By the ends and middles of its segments, a millimetre being added to the sides. `along`: of unit length.
ExtentAlong extent_along(const ClosedArcPath& path, Vec2 along);

}  // namespace lastwright
