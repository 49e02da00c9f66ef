// The place of a curve that lies farthest one way.
#pragma once

#include "geometry/curve/curve.hpp"

namespace lastwright {

// Lines and arcs by formula. Splines: every span is sampled, the best place is refined until it lies within
// tolerance::kRoot of the farthest; a hump narrower than a 32nd of a span can be missed. Of several places
// that lie as far within rounding, the first. `way` is a unit vector.
Vec2 farthest_along(const Curve& curve, Vec2 way);

}  // namespace lastwright
