#include "geometry/curve/biarc.hpp"

#include <algorithm>

namespace lastwright {

// Each arc's end tangents meet at the same distance from both of its ends. Take that distance d equal for the
// two arcs: the meeting points are Q0 = start + d leaving and Q1 = end - d arriving, the joint is halfway
// between them, and the two tangent lengths there must add up: |Q1 - Q0| = 2 d. With v = end - start and t =
// leaving + arriving:
//     |v - d t|^2 = 4 d^2,   that is   2 (1 - c) d^2 + 2 (v.t) d - v.v = 0,   c = leaving . arriving,
// and |t|^2 = 2 + 2 c was used. Its positive root is written so that nothing cancels; 1 - c is |leaving -
// arriving|^2 / 2.
Biarc biarc(Vec2 start, Vec2 leaving, Vec2 end, Vec2 arriving) {
  const Vec2 v = end - start;
  const Vec2 turn = leaving - arriving;
  const double vt = dot(v, leaving + arriving);
  const double vv = dot(v, v);
  const double twice = dot(turn, turn);  // 2 (1 - c)
  const double root = std::sqrt(vt * vt + twice * vv);
  double d = 0.0;
  if (vt > 0.0) {
    d = vv / (vt + root);
  } else if (twice > 1e-12) {
    d = (root - vt) / twice;
  }
  // Left over: equal tangents square to the chord or backward. Point symmetry about the middle of the chord
  // gives the two arcs, so d does not matter.
  const Vec2 joint = lerp(start, end, 0.5) + 0.5 * d * turn;
  return {arc_from_tangent(start, leaving, joint), arc_from_tangent(end, -arriving, joint).reversed()};
}

double deviation(const Biarc& fit, std::span<const Vec2> points) {
  double worst = 0.0;
  for (Vec2 p : points)
    worst = std::max(worst, std::min(fit.first.distance_to(p), fit.second.distance_to(p)));
  return worst;
}

}  // namespace lastwright
