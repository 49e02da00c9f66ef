// The curve beside a curve, at a constant distance.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// The line `left` mm on the left-hand side of a smooth curve (below 0: on the right-hand side). A line stays
// a line and an arc becomes a concentric arc, both exact. A spline becomes a cubic spline whose points and
// tangents at its knots are exact and which leaves the true parallel by tolerance::kSamePoint at most (looked
// at in three places of each span, where the error of such a fit peaks).
//
// Refused where the curve bends to that side more tightly than the distance: the Problem has the distance as
// value and the radius there as limit, and names the place.
Result<Curve> parallel_curve(const Curve& curve, Millimetres left);

// The curve cut where its tangent jumps: at knots of a spline. One part for all others.
std::vector<Curve> smooth_parts(const Curve& curve);

}  // namespace lastwright
