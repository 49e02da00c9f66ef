// The directions of a last that stands.
#pragma once

#include "geometry/solid/vec3.hpp"

namespace lastwright {

// Unit vectors in the frame of the body, right-handed.
struct LastAxes {
  Vec3 ahead{1, 0, 0};  // from heel to toe along the ground
  Vec3 left{0, 1, 0};
  Vec3 up{0, 0, 1};
};

}  // namespace lastwright
