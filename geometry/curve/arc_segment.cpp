#include "geometry/curve/arc_segment.hpp"

#include <algorithm>
#include <limits>
#include <numbers>

namespace lastwright {

namespace {

// sin(x)/x, without cancellation near zero.
double sinc(double x) {
  return std::abs(x) < 1e-4 ? 1.0 - x * x / 6.0 : std::sin(x) / x;
}

Vec2 turned(Vec2 v, double angle) {
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  return {c * v.x - s * v.y, s * v.x + c * v.y};
}

}  // namespace

double ArcSegment::radius() const {
  if (straight()) return std::numeric_limits<double>::infinity();
  return chord() * (1.0 + bulge * bulge) / (4.0 * std::abs(bulge));
}

Vec2 ArcSegment::centre() const {
  return lerp(a, b, 0.5) + left_of(b - a) * ((1.0 - bulge * bulge) / (4.0 * bulge));
}

double ArcSegment::length() const {
  const double c = chord();
  return straight() ? c : c / sinc(0.5 * sweep());
}

double ArcSegment::bow_area() const {
  if (straight()) return 0.0;
  const double s = sweep();
  const double c = chord();
  if (std::abs(s) < 1e-3) return c * c * s / 12.0 * (1.0 + s * s / 30.0);  // series of the formula below
  const double r = radius();
  return 0.5 * r * r * (s - std::sin(s));
}

Vec2 ArcSegment::point_at(double t) const {
  if (t <= 0.0) return a;
  if (t >= 1.0) return b;
  if (straight()) return lerp(a, b, t);
  // The chord to parameter t leaves a at half the turn of the part, measured from the start tangent, which
  // itself lies half the whole turn to the right of the chord a -> b.
  const double s = sweep();
  const double part_length = length() * t;
  const Vec2 direction = turned(unit(b - a), -0.5 * s + 0.5 * s * t);
  return a + direction * (part_length * sinc(0.5 * s * t));
}

Vec2 ArcSegment::tangent_at(double t) const {
  const Vec2 along = unit(b - a);
  if (straight()) return along;
  return turned(along, sweep() * (t - 0.5));
}

Box2 ArcSegment::bounds() const {
  Box2 box;
  box.add(a);
  box.add(b);
  if (straight()) return box;
  const Vec2 c = centre();
  const double r = radius();
  const double s = sweep();
  const double start = std::atan2(a.y - c.y, a.x - c.x);
  constexpr double quarter = std::numbers::pi / 2.0;
  for (int k = 0; k < 4; ++k) {
    double turn = k * quarter - start;  // from the start to this extreme, in the direction of travel
    if (s < 0.0) turn = -turn;
    turn -= 2.0 * std::numbers::pi * std::floor(turn / (2.0 * std::numbers::pi));
    if (turn < std::abs(s)) {
      static constexpr Vec2 kAxis[4] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
      box.add(c + r * kAxis[k]);
    }
  }
  return box;
}

ArcSegment ArcSegment::part(double t0, double t1) const {
  return {point_at(t0), point_at(t1), straight() ? 0.0 : std::tan(0.25 * sweep() * (t1 - t0))};
}

double ArcSegment::nearest(Vec2 p) const {
  const Vec2 along = b - a;
  const double square = dot(along, along);
  if (square == 0.0) return 0.0;
  if (straight()) return std::clamp(dot(p - a, along) / square, 0.0, 1.0);
  const Vec2 c = centre();
  const double s = sweep();
  const Vec2 from_centre = p - c;
  const double end = distance(p, a) <= distance(p, b) ? 0.0 : 1.0;
  if (from_centre == Vec2{}) return end;
  double turn = angle_between(a - c, from_centre);
  if (s < 0.0) turn = -turn;
  if (turn < 0.0) turn += 2.0 * std::numbers::pi;
  const double t = turn / std::abs(s);
  return t <= 1.0 ? t : end;
}

ArcSegment arc_from_tangent(Vec2 a, Vec2 tangent, Vec2 b) {
  const double half_turn = angle_between(tangent, b - a);  // tangent-chord angle: half the sweep
  return {a, b, half_turn == 0.0 ? 0.0 : std::tan(0.5 * half_turn)};
}

}  // namespace lastwright
