#include "grading/checks/girths/extent_along.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

ExtentAlong extent_along(const ClosedArcPath& path, Vec2 along) {
  const Vec2 across = left_of(along);
  const double first = dot(path.segment(0).point_at(0.0), along);
  ExtentAlong extent{first, first, 0.0};
  for (std::size_t i = 0; i < path.size(); ++i) {
    for (const double t : {0.0, 0.5}) {
      const Vec2 p = path.segment(i).point_at(t);
      extent.low = std::min(extent.low, dot(p, along));
      extent.high = std::max(extent.high, dot(p, along));
      extent.reach = std::max(extent.reach, std::abs(dot(p, across)) + 1.0);
    }
  }
  return extent;
}

}  // namespace lastwright
