#include "geometry/check/convex_region.hpp"

#include <algorithm>
#include <numbers>
#include <utility>

namespace lastwright {

Box2 bounds(const Polygon& points) {
  Box2 box;
  for (const Vec2 p : points) box.add(p);
  return box;
}

// Andrew's chain.
Polygon convex_hull(Polygon points) {
  std::sort(points.begin(), points.end(),
            [](Vec2 a, Vec2 b) { return a.x < b.x || (a.x == b.x && a.y < b.y); });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  Polygon hull;
  for (int side = 0; side < 2; ++side) {
    const std::size_t first = hull.size();
    for (const Vec2 p : points) {
      while (hull.size() >= first + 2 && cross(hull.back() - hull[hull.size() - 2], p - hull.back()) <= 0.0)
        hull.pop_back();
      hull.push_back(p);
    }
    if (points.size() > 1) hull.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return hull;
}

double diameter(const Polygon& points) {
  double widest = 0.0;
  for (const Vec2 a : points) {
    for (const Vec2 b : points) widest = std::max(widest, distance(a, b));
  }
  return widest;
}

Polygon grown_hull(const Polygon& points, double by) {
  constexpr int kRound = 24;
  Polygon all;
  for (const Vec2 p : convex_hull(points)) {
    for (int k = 0; k < kRound; ++k) {
      const double angle = 2.0 * std::numbers::pi * k / kRound;
      all.push_back(p + by * Vec2{std::cos(angle), std::sin(angle)});
    }
  }
  return convex_hull(std::move(all));
}

double signed_area(const Polygon& polygon) {
  double twice = 0.0;
  for (std::size_t i = 0; i < polygon.size(); ++i)
    twice += cross(polygon[i], polygon[(i + 1) % polygon.size()]);
  return 0.5 * twice;
}

// Half plane by half plane.
Polygon clipped(Polygon polygon, const Polygon& convex) {
  for (std::size_t i = 0; i < convex.size() && !polygon.empty(); ++i) {
    const Vec2 a = convex[i];
    const Vec2 along = convex[(i + 1) % convex.size()] - a;
    Polygon kept;
    for (std::size_t k = 0; k < polygon.size(); ++k) {
      const Vec2 p = polygon[k];
      const Vec2 q = polygon[(k + 1) % polygon.size()];
      const double sp = cross(along, p - a);
      const double sq = cross(along, q - a);
      if (sp >= 0.0) kept.push_back(p);
      if ((sp < 0.0) != (sq < 0.0)) kept.push_back(lerp(p, q, sp / (sp - sq)));
    }
    polygon = std::move(kept);
  }
  return polygon;
}

}  // namespace lastwright
