// Points and vectors of space, millimetres. A last stands with x from heel to toe, y to its left, z up.
#pragma once

#include <cmath>

namespace lastwright {

struct Vec3 {
  double x = 0.0;
  double y = 0.0;
  double z = 0.0;
  bool operator==(const Vec3&) const = default;
};

constexpr Vec3 operator+(Vec3 a, Vec3 b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
constexpr Vec3 operator-(Vec3 a, Vec3 b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
constexpr Vec3 operator-(Vec3 a) {
  return {-a.x, -a.y, -a.z};
}
constexpr Vec3 operator*(double s, Vec3 a) {
  return {s * a.x, s * a.y, s * a.z};
}
constexpr Vec3 operator/(Vec3 a, double s) {
  return {a.x / s, a.y / s, a.z / s};
}
constexpr Vec3& operator+=(Vec3& a, Vec3 b) {
  return a = a + b;
}
constexpr double dot(Vec3 a, Vec3 b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
constexpr Vec3 cross(Vec3 a, Vec3 b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
constexpr Vec3 lerp(Vec3 a, Vec3 b, double t) {
  return a + t * (b - a);
}
inline double norm(Vec3 a) {
  return std::sqrt(dot(a, a));
}
inline double distance(Vec3 a, Vec3 b) {
  return norm(b - a);
}
// Unit vector along a; zero for a vector of length zero.
inline Vec3 unit(Vec3 a) {
  const double n = norm(a);
  return n > 0.0 ? a / n : Vec3{};
}

// A plane as the zero set of dot(normal, p) - offset, with two unit vectors that span it.
struct Plane3 {
  Vec3 normal{0, 0, 1};
  double offset = 0.0;
  Vec3 e1{1, 0, 0};
  Vec3 e2{0, 1, 0};
  [[nodiscard]] double height(Vec3 p) const { return dot(normal, p) - offset; }
};

// Plane through a point; `normal` need not have unit length but must not vanish.
inline Plane3 plane_through(Vec3 point, Vec3 normal) {
  Plane3 plane;
  plane.normal = unit(normal);
  plane.offset = dot(plane.normal, point);
  const Vec3 helper = std::abs(plane.normal.y) < 0.9 ? Vec3{0, 1, 0} : Vec3{1, 0, 0};
  plane.e1 = unit(helper - dot(helper, plane.normal) * plane.normal);
  plane.e2 = cross(plane.normal, plane.e1);
  return plane;
}

}  // namespace lastwright
