#include "geometry/map/point_fit.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/invariant.hpp"

namespace lastwright {

PointFit fit_points(std::span<const PointOnPoint> pairs, bool mirrored) {
  invariant(!pairs.empty(), "points are fitted by at least one pair");
  const auto over = [mirrored](Vec2 p) { return mirrored ? Vec2{-p.x, p.y} : p; };
  const double count = static_cast<double>(pairs.size());
  Vec2 from;
  Vec2 to;
  for (const PointOnPoint& pair : pairs) {
    from += over(pair.moving) / count;
    to += pair.still / count;
  }
  // The turn is the direction of the sum of still / moving, taken as complex numbers about their middles.
  double along = 0.0;
  double across = 0.0;
  double square = 0.0;
  for (const PointOnPoint& pair : pairs) {
    const Vec2 a = over(pair.moving) - from;
    const Vec2 b = pair.still - to;
    along += dot(a, b);
    across += cross(a, b);
    square += square_of(a);
  }
  const double size = std::hypot(along, across);
  const Vec2 turn = size > 0.0 ? Vec2{along / size, across / size} : Vec2{1.0, 0.0};
  PointFit fit;
  fit.motion.x_axis = mirrored ? -turn : turn;
  fit.motion.y_axis = left_of(turn);
  fit.motion.origin = to - (from.x * turn + from.y * left_of(turn));
  for (const PointOnPoint& pair : pairs)
    fit.worst = std::max(fit.worst, distance(fit.motion.point(pair.moving), pair.still));
  fit.spread = std::sqrt(square / count);
  return fit;
}

}  // namespace lastwright
