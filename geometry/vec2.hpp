// Points and vectors of the plane, millimetres, x to the right, y up.
#pragma once

#include <cmath>

namespace lastwright {

struct Vec2 {
  double x = 0.0;
  double y = 0.0;
  bool operator==(const Vec2&) const = default;
};

constexpr Vec2 operator+(Vec2 a, Vec2 b) {
  return {a.x + b.x, a.y + b.y};
}
constexpr Vec2 operator-(Vec2 a, Vec2 b) {
  return {a.x - b.x, a.y - b.y};
}
constexpr Vec2 operator-(Vec2 a) {
  return {-a.x, -a.y};
}
constexpr Vec2 operator*(double s, Vec2 a) {
  return {s * a.x, s * a.y};
}
constexpr Vec2 operator*(Vec2 a, double s) {
  return {s * a.x, s * a.y};
}
constexpr Vec2 operator/(Vec2 a, double s) {
  return {a.x / s, a.y / s};
}
constexpr Vec2& operator+=(Vec2& a, Vec2 b) {
  return a = a + b;
}
constexpr double dot(Vec2 a, Vec2 b) {
  return a.x * b.x + a.y * b.y;
}
constexpr double square_of(Vec2 v) {
  return dot(v, v);
}
// z of the cross product: positive when b lies counter-clockwise of a.
constexpr double cross(Vec2 a, Vec2 b) {
  return a.x * b.y - a.y * b.x;
}
// a turned a quarter turn counter-clockwise: the left-hand side when walking along a.
constexpr Vec2 left_of(Vec2 a) {
  return {-a.y, a.x};
}
constexpr Vec2 lerp(Vec2 a, Vec2 b, double t) {
  return a + t * (b - a);
}
// A plain root: hypot guards against overflow beyond 1e154 mm and below 1e-154 mm, at five times the cost.
inline double norm(Vec2 a) {
  return std::sqrt(a.x * a.x + a.y * a.y);
}
inline double distance(Vec2 a, Vec2 b) {
  return norm(b - a);
}
// Unit vector along a; {0,0} for a vector of length zero.
inline Vec2 unit(Vec2 a) {
  const double n = norm(a);
  return n > 0.0 ? a / n : Vec2{};
}
// v turned counter-clockwise, in radians.
inline Vec2 turned(Vec2 v, double angle) {
  const double c = std::cos(angle);
  const double s = std::sin(angle);
  return {c * v.x - s * v.y, s * v.x + c * v.y};
}
inline bool is_finite(Vec2 a) {
  return std::isfinite(a.x) && std::isfinite(a.y);
}
// Signed angle in (-pi, pi] that turns a into the direction of b.
inline double angle_between(Vec2 a, Vec2 b) {
  return std::atan2(cross(a, b), dot(a, b));
}

}  // namespace lastwright
