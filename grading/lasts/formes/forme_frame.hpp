// How a flat copy is laid on the sheet.
#pragma once

#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

// x -> turn, then shift.
struct FlatMotion {
  double c = 1.0;
  double s = 0.0;
  Vec2 shift;
  [[nodiscard]] Vec2 operator()(Vec2 p) const { return Vec2{c * p.x - s * p.y, s * p.x + c * p.y} + shift; }
};

// Takes `from` to `to`, and the way from there towards `ahead` into that of `wanted`.
FlatMotion lay_on(Vec2 from, Vec2 ahead, Vec2 to, Vec2 wanted);

// The turn about `from` (laid on the origin) that brings
// points nearest to where others lie, by least squares.
FlatMotion best_turn(const std::vector<Vec2>& points, Vec2 from, const std::vector<Vec2>& wanted,
                     Vec2 wanted_from);

// The motion that brings points nearest to others, by least squares.
FlatMotion best_motion(const std::vector<Vec2>& points, const std::vector<Vec2>& wanted);

void lay(std::vector<Vec2>& points, const FlatMotion& motion);

}  // namespace lastwright
