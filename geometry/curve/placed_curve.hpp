// Curves under a rigid motion.
#pragma once

#include "geometry/curve/curve.hpp"
#include "geometry/io/paper/plane_affine.hpp"

namespace lastwright {

// The same curve elsewhere, walked the same way. Precondition: the map keeps lengths (it may turn over).
Curve placed(const Curve& curve, const PlaneAffine& motion);

}  // namespace lastwright
