#include "grading/checks/lasting/overhang.hpp"

#include <algorithm>

namespace lastwright {

Overhang overhang(const ClosedArcPath& inner, const ClosedArcPath& outer) {
  Overhang most;
  for (std::size_t i = 0; i < inner.size(); ++i) {
    for (const double t : {0.0, 0.25, 0.5, 0.75}) {
      const Vec2 p = inner.segment(i).point_at(t);
      if (contains(outer, p)) continue;
      if (const double by = distance_to(outer, p); by > most.by) most = {by, p};
    }
  }
  return most;
}

double longest_side(const ClosedArcPath& path) {
  const Box2 box = bounds(path);
  return std::max(box.width(), box.height());
}

}  // namespace lastwright
