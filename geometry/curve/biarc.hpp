// Two circular arcs that meet smoothly and take up a given direction at each end, and curves made of them.
#pragma once

#include <span>

#include "geometry/curve/arc_path.hpp"
#include "geometry/curve/curve.hpp"
#include "geometry/curve/outline.hpp"

namespace lastwright {

struct Biarc {
  ArcSegment first;
  ArcSegment second;  // second.a == first.b; the tangents agree there
};

// Two arcs from `start`, leaving along the unit vector `leaving`, to `end`, arriving along the unit vector
// `arriving`. Precondition: start != end. Exists for all directions and is computed without cancellation for
// straight spans, S-shaped spans and small turns. The arcs stay short while both directions point forward
// along the chord (positive dot product with it): keep spans to less than a half turn.
Biarc biarc(Vec2 start, Vec2 leaving, Vec2 end, Vec2 arriving);

// Largest distance of any of `points` from the biarc, 0 for none.
double deviation(const Biarc& fit, std::span<const Vec2> points);

// Lines and arcs that leave the curve by no more than `tolerance`: lines and arcs
// unchanged, splines as biarcs that are tangent continuous wherever the spline is.
// The spans are as long as the tolerance allows and of about equal error. A point
// where the curve turns back on itself (a cusp) may become a short straight segment.
OpenArcPath arc_fit(const Curve& curve, Millimetres tolerance);
OpenArcPath arc_fit(const OpenChain& chain, Millimetres tolerance);
ClosedArcPath arc_fit(const ClosedOutline& outline, Millimetres tolerance);

}  // namespace lastwright
