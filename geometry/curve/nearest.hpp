// The point of a curve nearest to a given one.
#pragma once

#include "geometry/curve/curve.hpp"

namespace lastwright {

struct NearestPoint {
  double t = 0.0;  // parameter on the curve
  Vec2 at;
  double distance = 0.0;
};

// Lines and arcs by formula. Splines: every span is sampled, each dip of the distance is refined to
// tolerance::kRoot; a dip narrower than a 32nd of a span can be missed.
NearestPoint nearest(const Curve& curve, Vec2 p);

}  // namespace lastwright
