// A place on a sheet other than the one a piece lies in.
#pragma once

#include <cmath>
#include <numbers>

#include "geometry/vec2.hpp"

namespace lastwright::support {

// Where a sheet shows what lies elsewhere; reckoned here, not by what is tested.
struct Elsewhere {
  double turn = 0.0;
  Vec2 shift;
  bool over = false;
  Vec2 operator()(Vec2 p) const {
    if (over) p.y = -p.y;
    return {std::cos(turn) * p.x - std::sin(turn) * p.y + shift.x,
            std::sin(turn) * p.x + std::cos(turn) * p.y + shift.y};
  }
  [[nodiscard]] double angle(double radians) const { return (over ? -radians : radians) + turn; }
};

inline Elsewhere elsewhere(double degrees, Vec2 shift, bool over) {
  return {degrees * std::numbers::pi / 180.0, shift, over};
}

}  // namespace lastwright::support
