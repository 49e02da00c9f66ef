// Measures of single curves beyond those in curve.hpp.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// The area swept by the line from `origin` to the curve, positive when it turns counter-clockwise. Summed
// over a closed run it is the area inside. Lines and arcs exact, splines within `error` (mm2).
double swept_area(const Curve& curve, Vec2 origin, double error);

// Points such that no chord leaves the curve by more than `chord_error`, both ends included.
std::vector<Vec2> flattened(const Curve& curve, Millimetres chord_error);

}  // namespace lastwright
