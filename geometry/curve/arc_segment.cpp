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

// Most arcs of an outline are this flat (a sweep of 0.4); then the series below are exact to the last digits
// and need no trigonometry.
constexpr double kFlatBulge = 0.1;

// atan(b) / b.
double arc_tangent_over(double b) {
  if (std::abs(b) > kFlatBulge) return std::atan(b) / b;
  const double u = b * b;
  return 1.0 - u * (1.0 / 3 -
                    u * (1.0 / 5 - u * (1.0 / 7 - u * (1.0 / 9 - u * (1.0 / 11 - u * (1.0 / 13 - u / 15))))));
}

// Whether the direction (down, across) lies clearly beyond the sweep of an arc, on either side of it, by
// signs alone: most points that are asked of an arc do, and need no angle. False also where it is not clear.
bool beyond_sweep(double bulge, double across, double down) {
  constexpr double kClear = 1e-12;         // of the direction's length: far above rounding
  constexpr double kUnderHalfTurn = 0.99;  // of the bulge: nearer to it both sides of the sweep meet
  if (std::abs(bulge) > kUnderHalfTurn) return false;
  const double ahead = bulge > 0.0 ? across : -across;
  if (ahead < 0.0) return true;
  const double b = std::abs(bulge);
  const double even = 1.0 - b * b;
  const double whole = 1.0 + b * b;  // cosine and sine of the sweep, times its square
  const double past = ahead * (even * even - 4.0 * b * b) - down * (4.0 * b * even);
  return past > kClear * whole * whole * (ahead + std::abs(down));
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
  // Radius times sweep: c (1 + b^2) / 4b times 4 atan b.
  return chord() * (1.0 + bulge * bulge) * arc_tangent_over(bulge);
}

double ArcSegment::bow_area() const {
  if (straight()) return 0.0;
  // r^2 / 2 (s - sin s) with s = 4 atan b, r = c (1 + b^2) / 4b and sin s = 4b (1 - b^2) / (1 + b^2)^2.
  const double b2 = bulge * bulge;
  const Vec2 along = b - a;
  const double square = dot(along, along);
  if (std::abs(bulge) > kFlatBulge) {
    const double whole = 1.0 + b2;
    return square * (whole * whole * std::atan(bulge) - bulge * (1.0 - b2)) / (8.0 * b2);
  }
  // The same multiplied out; the term of b^(2k) has (2k + 3) (2k + 1) (2k - 1) below it.
  return square * bulge *
         (1.0 / 3 +
          b2 * (1.0 / 15 -
                b2 * (1.0 / 105 - b2 * (1.0 / 315 - b2 * (1.0 / 693 - b2 * (1.0 / 1287 - b2 / 2145))))));
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
  // Up to a quarter turn whose directions lie in one quadrant both coordinates grow or fall all the way.
  const Vec2 even = (1.0 - bulge * bulge) * (b - a);  // directions of the ends as in turned_chord
  const Vec2 odd = 2.0 * bulge * left_of(b - a);
  const Vec2 leaves = even - odd;
  const Vec2 arrives = even + odd;
  if (std::abs(bulge) < kUnderQuarterTurn && leaves.x * arrives.x > 0.0 && leaves.y * arrives.y > 0.0)
    return box;
  // An extreme of the circle belongs to the arc when it lies on the arc's side of the chord.
  const Vec2 c = centre();
  const double r = radius();
  static constexpr Vec2 kAxis[4] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
  for (Vec2 axis : kAxis) {
    const Vec2 extreme = c + r * axis;
    if (cross(b - a, extreme - a) * bulge < 0.0) box.add(extreme);
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
  // The turn from a to p seen from the centre a + n/k, multiplied through by the curvature k so that a
  // distant centre loses no digits.
  const double k = curvature();
  const Vec2 tangent = start_tangent();
  const double across = k * dot(tangent, p - a);
  const double down = 1.0 - k * dot(left_of(tangent), p - a);
  const double end = distance(p, a) <= distance(p, b) ? 0.0 : 1.0;
  if (across == 0.0 && down == 0.0) return end;
  if (beyond_sweep(bulge, across, down)) return end;
  const double s = sweep();
  double t = std::atan2(across, down) / s;
  if (t < 0.0) t += 2.0 * std::numbers::pi / std::abs(s);
  return t <= 1.0 ? t : end;
}

bool ArcSegment::faces(Vec2 p) const {
  // As start_tangent and end_tangent, times the chord: only the signs count, and no root is taken.
  const Vec2 along = b - a;
  const double even = 1.0 - bulge * bulge;
  const double odd = 2.0 * bulge;
  const bool past_start = dot(even * along - odd * left_of(along), p - a) >= 0.0;
  const bool before_end = dot(even * along + odd * left_of(along), p - b) <= 0.0;
  return std::abs(bulge) <= 1.0 ? past_start && before_end : past_start || before_end;
}

double ArcSegment::distance_to(Vec2 p) const {
  // Plain roots: places in a drawing are far from where
  // hypot would be needed, and this is called most of all.
  const Vec2 w = p - a;
  if (!faces(p)) return std::sqrt(std::min(dot(w, w), dot(p - b, p - b)));
  const Vec2 along = b - a;
  const double chord_length = std::sqrt(dot(along, along));
  if (!(chord_length > 0.0)) return std::sqrt(dot(w, w));
  if (straight()) return std::abs(cross(along, w)) / chord_length;
  // |p - centre| - radius, written without the centre: with
  // f = k/2 |w|^2 - n.w it is 2 f / (1 + sqrt(1 + 2 k f)).
  const double whole = 1.0 + bulge * bulge;
  const double k = 4.0 * bulge / (whole * chord_length);
  const Vec2 tangent =
      ((1.0 - bulge * bulge) * along - 2.0 * bulge * left_of(along)) / (whole * chord_length);
  const double f = 0.5 * k * dot(w, w) - dot(left_of(tangent), w);
  return std::abs(2.0 * f / (1.0 + std::sqrt(std::max(0.0, 1.0 + 2.0 * k * f))));
}

ArcSegment arc_from_tangent(Vec2 a, Vec2 tangent, Vec2 b) {
  // The angle between tangent and chord is half the sweep, and the bulge the tangent of half of that angle:
  // tan(x/2) = sin x / (1 + cos x) = (1 - cos x) / sin x, whichever does not cancel.
  const double along = dot(tangent, b - a);
  const double across = cross(tangent, b - a);
  if (across == 0.0) return {a, b, 0.0};
  const double reach = std::sqrt(along * along + across * across);
  return {a, b, along >= 0.0 ? across / (reach + along) : (reach - along) / across};
}

}  // namespace lastwright
