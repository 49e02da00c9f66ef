// The edges of a cut line moved inward and joined anew.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "geometry/inset/long_curve.hpp"
#include "geometry/result.hpp"
#include "grading/pieces/bound_piece.hpp"

namespace lastwright {

// One smooth curve of the cut line.
struct RingCurve {
  std::size_t edge = 0;
  Curve drawn;
  double inward = 0.0;
  std::optional<LongCurve> moved;  // none where nothing of it is left
};

// Two moved neighbours and where they meet.
struct RingJoint {
  LongPlace on_one;
  LongPlace on_two;
};
// None where they do not meet. Of several places the one that leaves most of both, or the next after so many
// of them; `near`: the one by this point, if there is one.
std::optional<RingJoint> joint_of(const LongCurve& one, const LongCurve& two, std::size_t next = 0,
                                  std::optional<Vec2> near = {});

// The smooth curves of all edges in order, moved. Refuses a spline that is tighter than its allowance,
// naming its edge.
Result<std::vector<RingCurve>> ring_curves(const std::vector<BoundEdge>& edges,
                                           std::span<const Millimetres> allowances);

// Joins the curves all round; those marked in `corner` belong to no edge. `next`: by edge, at which of the
// places where they meet (joint_of) it is joined to the edge before; empty: at the first. What joining leaves
// nothing of is taken out. The edges come back with new chains. Refuses where two neighbours do not meet or
// nothing is left of an edge (which is named), and an outline that crosses itself.
Result<std::vector<BoundEdge>> joined_ring(const std::vector<RingCurve>& curves,
                                           const std::vector<bool>& corner,
                                           const std::vector<BoundEdge>& edges,
                                           std::span<const std::size_t> next = {});

}  // namespace lastwright
