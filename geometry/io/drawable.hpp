// What the writers of drawings agree to draw: nothing farther out than a kilometre.
#pragma once

#include <cmath>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// Beyond it something has gone wrong before.
inline constexpr Millimetres kFarthestDrawn{1e6};

// Neither does what is no number pass.
inline bool is_drawable(double value) {
  return std::abs(value) <= kFarthestDrawn.value();
}
inline bool is_drawable(Vec2 p) {
  return is_drawable(p.x) && is_drawable(p.y);
}

}  // namespace lastwright
