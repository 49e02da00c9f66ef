#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/check/convex_region.hpp"
#include "grading/dies/die.hpp"

namespace lastwright {

PrincipalAxes principal_axes(const ClosedArcPath& path) {
  const std::vector<Vec2> points = flattened(path, Millimetres(0.05));
  const Vec2 origin = points.front();
  double area = 0.0;
  Vec2 first;
  double xx = 0.0;
  double xy = 0.0;
  double yy = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {  // triangles from the first point
    const Vec2 a = points[i] - origin;
    const Vec2 b = points[(i + 1) % points.size()] - origin;
    const double w = 0.5 * cross(a, b);
    area += w;
    first += w / 3.0 * (a + b);
    xx += w / 6.0 * (a.x * a.x + a.x * b.x + b.x * b.x);
    yy += w / 6.0 * (a.y * a.y + a.y * b.y + b.y * b.y);
    xy += w / 12.0 * (2.0 * a.x * a.y + a.x * b.y + b.x * a.y + 2.0 * b.x * b.y);
  }
  if (area == 0.0) return {origin, Radians(0.0)};
  const Vec2 c = first / area;
  xx -= area * c.x * c.x;
  yy -= area * c.y * c.y;
  xy -= area * c.x * c.y;
  return {origin + c, Radians(0.5 * std::atan2(2.0 * xy, xx - yy))};
}

// A smallest box has a side along a side of the hull (Freeman and Shapira, 1975).
Radians smallest_box_turn(const ClosedArcPath& path) {
  const std::vector<Vec2> hull = convex_hull(flattened(path, Millimetres(0.01)));
  double least = std::numeric_limits<double>::infinity();
  double best = 0.0;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vec2 side = hull[(i + 1) % hull.size()] - hull[i];
    const double size = std::hypot(side.x, side.y);
    if (size == 0.0) continue;
    const Vec2 along = side / size;
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    double up = 0.0;
    for (const Vec2 p : hull) {
      low = std::min(low, dot(p, along));
      high = std::max(high, dot(p, along));
      up = std::max(up, cross(along, p - hull[i]));
    }
    const double area = (high - low) * up;
    if (area >= least - 1e-9) continue;
    least = area;
    best = -std::atan2(along.y, along.x);
    if (up > high - low) best += 0.5 * std::numbers::pi;
  }
  return Radians(std::remainder(best, std::numbers::pi));
}

PunchSize punch_size(const ClosedArcPath& path) {
  constexpr double kFills = 0.9;  // of its smallest box
  const Box2 box = bounds(placed(path, smallest_box_turn(path), {}));
  if (std::abs(signed_area(path)) >= kFills * box.width() * box.height())
    return {std::max(box.width(), box.height()), std::min(box.width(), box.height())};
  const std::vector<Vec2> hull = convex_hull(flattened(path, Millimetres(0.002)));
  Vec2 tips;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (norm(hull[i] - hull[j]) > norm(tips)) tips = hull[i] - hull[j];
    }
  }
  // Between points of arcs the direction is only known to a step of theirs; the shape is longest along it.
  constexpr double kStep = 0.15;  // radians: more than a step of an arc of a millimetre
  const auto along = [&](double turn) { return bounds(placed(path, Radians(turn), {})); };
  double low = -std::atan2(tips.y, tips.x) - kStep;
  double high = low + 2.0 * kStep;
  for (int round = 0; round < 40; ++round) {
    const double a = low + (high - low) / 3.0;
    const double b = high - (high - low) / 3.0;
    if (along(a).width() < along(b).width()) {
      low = a;
    } else {
      high = b;
    }
  }
  const Box2 box_along = along(0.5 * (low + high));
  return {box_along.width(), box_along.height()};
}

}  // namespace lastwright
