// A smooth map of space into itself, as a form may be given by: the image of a body under it.
#pragma once

#include "geometry/solid/vec3.hpp"

namespace lastwright {

// The nine derivatives of a map at a point: x is the gradient of the image's x.
struct Jacobian {
  Vec3 x{1, 0, 0};
  Vec3 y{0, 1, 0};
  Vec3 z{0, 0, 1};
  [[nodiscard]] Vec3 turned(Vec3 d) const { return {dot(x, d), dot(y, d), dot(z, d)}; }
};

class SpaceMap {
 public:
  virtual ~SpaceMap() = default;
  virtual Vec3 operator()(Vec3 p) const = 0;
  // The image and the derivatives there.
  virtual Vec3 with_jacobian(Vec3 p, Jacobian& jacobian) const = 0;

 protected:
  SpaceMap() = default;
  SpaceMap(const SpaceMap&) = default;
  SpaceMap& operator=(const SpaceMap&) = default;
};

}  // namespace lastwright
