// What the writers of drawings agree to draw: nothing farther than tolerance::kFarthestDrawn.
#pragma once

#include <cmath>

#include "geometry/tolerance.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// Neither does what is no number pass.
inline bool is_drawable(double value) {
  return std::abs(value) <= tolerance::kFarthestDrawn.value();
}
inline bool is_drawable(Vec2 p) {
  return is_drawable(p.x) && is_drawable(p.y);
}

}  // namespace lastwright
