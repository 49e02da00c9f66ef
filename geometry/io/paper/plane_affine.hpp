// Affine maps of the plane: where a block's content ends up when it is inserted.
#pragma once

#include <cmath>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// p -> x_axis p.x + y_axis p.y + origin
struct PlaneAffine {
  Vec2 x_axis{1.0, 0.0};
  Vec2 y_axis{0.0, 1.0};
  Vec2 origin;

  [[nodiscard]] Vec2 direction(Vec2 v) const { return v.x * x_axis + v.y * y_axis; }
  [[nodiscard]] Vec2 point(Vec2 p) const { return direction(p) + origin; }
  [[nodiscard]] double determinant() const { return cross(x_axis, y_axis); }
  [[nodiscard]] bool mirrors() const { return determinant() < 0.0; }
  // Circles stay circles: the axes are square to each other and equally long, within 1e-12 of their length.
  [[nodiscard]] bool keeps_circles() const {
    constexpr double kSame = 1e-12;  // of squared lengths: rounding of the products
    const double xx = dot(x_axis, x_axis);
    const double yy = dot(y_axis, y_axis);
    return std::abs(xx - yy) <= kSame * xx && std::abs(dot(x_axis, y_axis)) <= kSame * xx;
  }
  // Of circles, when keeps_circles().
  [[nodiscard]] double scale() const { return norm(x_axis); }
};

// First `inner`, then `outer`.
inline PlaneAffine operator*(const PlaneAffine& outer, const PlaneAffine& inner) {
  return {outer.direction(inner.x_axis), outer.direction(inner.y_axis), outer.point(inner.origin)};
}

// The unit vector at this angle; exact for whole quarter turns.
inline Vec2 direction_of_degrees(double degrees) {
  const double turn = std::fmod(degrees, 360.0);
  if (turn == 0.0) return {1.0, 0.0};
  if (turn == 90.0 || turn == -270.0) return {0.0, 1.0};
  if (turn == 180.0 || turn == -180.0) return {-1.0, 0.0};
  if (turn == 270.0 || turn == -90.0) return {0.0, -1.0};
  const double angle = from_degrees(turn).value();
  return {std::cos(angle), std::sin(angle)};
}

}  // namespace lastwright
