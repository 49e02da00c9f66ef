// What a cut line has at a corner beside its edges: the cut across a square corner, the arc of a round one,
// the step of a step.
#pragma once

#include <optional>
#include <vector>

#include "geometry/curve/curve.hpp"
#include "geometry/offset/offset.hpp"

namespace lastwright {

// A corner of a net line, as a drawn cut line might have come from it.
struct CornerTrial {
  Vec2 vertex;
  Vec2 in;                // unit tangent of the net edge that ends there
  Vec2 out;               // and of the one that starts there
  double bends_in = 0.0;  // their curvatures there, above 0 for a left turn
  double bends_out = 0.0;
  Millimetres before;  // allowances
  Millimetres after;
  OffsetCorner form = OffsetCorner::kMitre;
  std::vector<Curve> corner;  // of the drawn cut line: what would belong to no edge; may be empty
  std::vector<Curve> edges;   // of the drawn cut line: the two edges beside it
  // Of a piece that is cut double, where the corner is on the
  // fold: only what lies to this side of the vertex was drawn.
  std::optional<Vec2> drawn_side;
};

// Whether allowances added to such a corner make what is drawn, within a fifth of the budget of an offset.
// Judged on edges that leave the vertex with their curvatures there and go straight on along what is then
// their direction.
bool makes_corner(const CornerTrial& trial);

}  // namespace lastwright
