#include "geometry/curve/smooth_span.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// The cubic, its parameter from 0 to 1.
class Cubic {
 public:
  Cubic(const SmoothSpan& span, double speed)
      : a_(span.a),
        first_(speed * span.leaves),
        second_(3.0 * (span.b - span.a) - speed * (2.0 * span.leaves + span.arrives)),
        third_(2.0 * (span.a - span.b) + speed * (span.leaves + span.arrives)) {}

  [[nodiscard]] Vec2 at(double t) const { return a_ + t * (first_ + t * (second_ + t * third_)); }
  [[nodiscard]] Vec2 slope(double t) const { return first_ + t * (2.0 * second_ + (3.0 * t) * third_); }

 private:
  Vec2 a_;
  Vec2 first_;
  Vec2 second_;
  Vec2 third_;
};

}  // namespace

std::optional<Vec2> direction_on(const SmoothSpan& span, Vec2 p, double reach) {
  const Vec2 way = span.b - span.a;
  const double chord = norm(way);
  if (!(chord > 0.0)) return std::nullopt;
  const double along = dot(p - span.a, way) / chord;
  const double beside = tolerance::kSamePoint.value();
  if (along < -beside || along > chord + beside || std::abs(cross(way, p - span.a)) > chord * chord)
    return std::nullopt;
  constexpr double kMostTurn = 1.0;  // radian: a span that turns more is no smooth one
  const double turn = std::abs(angle_between(span.leaves, span.arrives));
  if (turn > kMostTurn || dot(span.leaves, way) <= 0.0 || dot(span.arrives, way) <= 0.0) return std::nullopt;
  // So that the cubic of an arc lies on it.
  const double speed = turn > 1e-6 ? 2.0 * chord * std::tan(0.25 * turn) / std::sin(0.5 * turn) : chord;
  const Cubic cubic(span, speed);
  double t = std::clamp(along / chord, 0.0, 1.0);
  constexpr int kSteps = 8;
  for (int i = 0; i < kSteps; ++i) {
    const Vec2 slope = cubic.slope(t);
    t = std::clamp(t + dot(p - cubic.at(t), slope) / square_of(slope), 0.0, 1.0);
  }
  if (distance(cubic.at(t), p) > reach) return std::nullopt;
  return unit(cubic.slope(t));
}

}  // namespace lastwright
