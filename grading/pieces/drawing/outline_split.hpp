// Cuts an outline at named corners into its edges.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "geometry/curve/outline.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/style/piece_spec.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Each corner goes to the nearest vertex of the outline (a joint of two of its
// curves) within tolerance::kCornerSnap; where there is none that near, to the
// nearest point of the outline within the same distance, and the curve is cut there.
// So it is at a corner that lies on the outline, within 0.05 mm, where the nearest vertex is a joint of two
// chords of a smooth line and more than 0.1 mm off: how a curve is cut into chords moves no corner.
// The edges then run counter-clockwise from corner to corner and cover the outline.
//
// Refuses, naming the corner or the edge: a corner too far off, two corners on one place, edges that go round
// clockwise or not in order. `spec` has passed check_style. Notes say which corners cut a curve.
struct SplitOutline {
  std::vector<BoundEdge> edges;
  std::vector<std::string> notes;
};
Result<SplitOutline> split_outline(const ClosedOutline& outline, const PieceSpec& spec,
                                   const FormeSpec& forme);

// A place on the outline: counter-clockwise curve by curve.
struct CornerPlace {
  std::size_t curve = 0;
  double t = 0.0;  // below 1; 0 at a vertex
  Vec2 at;
};
// What is taken for a corner stated at `wanted`, as above;
// `off` is how far away it is. None within the tolerance.
struct SnappedPlace {
  CornerPlace place;
  double off = 0.0;
};
std::optional<SnappedPlace> snapped(const std::vector<Curve>& outline, Vec2 wanted);
// The outline from one place to another, counter-clockwise; once round where they are the same.
Result<OpenChain> stretch_of(const std::vector<Curve>& outline, const CornerPlace& from,
                             const CornerPlace& to);

// Where a corner lies: its own place or its point of the forme.
Vec2 corner_place(const CornerSpec& corner, const FormeSpec& forme);

}  // namespace lastwright
