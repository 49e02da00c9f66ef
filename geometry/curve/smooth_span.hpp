// The direction of a smooth curve between two places where it is known exactly.
//
// Arcs that follow a curve within some micrometres follow its direction within a thousandth of a radian only:
// what is set out along their normal over 20 mm is off by hundredths of a millimetre, and differs with the
// places at which the curve was divided. The cubic through two neighbouring places with their tangents has
// the direction nearly exactly.
#pragma once

#include <optional>

#include "geometry/vec2.hpp"

namespace lastwright {

struct SmoothSpan {
  Vec2 a;
  Vec2 leaves;  // unit tangents
  Vec2 b;
  Vec2 arrives;
};

// The unit tangent of the span at its place nearest to `p`. Nothing where p lies farther than `reach` (mm)
// from it or beside its ends, or the span turns by more than a radian.
std::optional<Vec2> direction_on(const SmoothSpan& span, Vec2 p, double reach);

}  // namespace lastwright
