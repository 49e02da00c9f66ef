// Nicks in the cut line.
#pragma once

#include <optional>

#include "geometry/curve/arc_path.hpp"
#include "grading/pieces/graded_piece.hpp"
#include "grading/style/feature_spec.hpp"

namespace lastwright {

// A place on a closed outline.
struct OutlinePlace {
  Vec2 at;
  std::size_t segment = 0;
  double t = 0.0;  // on that segment
};

// Where the line from `from` along the unit vector `outward`
// first meets the outline, no further than `reach`.
std::optional<OutlinePlace> first_meeting(const ClosedArcPath& outline, Vec2 from, Vec2 outward,
                                          double reach);

// The place `length` further along the outline, below 0: back.
OutlinePlace walked(const ClosedArcPath& outline, OutlinePlace from, double length);

// The nick at a place of the cut line, `outward` pointing out of the piece.
// A slit starts on the cut line and ends at its tip; the other forms start
// and end on the cut line, their mouth measured along it, in its order.
OpenArcPath nick_path(const ClosedArcPath& cut, const OutlinePlace& at, Vec2 outward, const NickShape& shape);

// mm: how deep a nick that is drawn so deep is cut in an edge with such an allowance. It ends half a
// millimetre short of the finished edge, so that nothing shows; where there is next to no allowance it is as
// shallow as can still be found. Common practice.
double drawn_nick_depth(double drawn, double allowance);

// Drawn nicks start on the finished edge; in the piece that is cut they start on the cut line and end half a
// millimetre short of the finished edge, between 1 mm and as deep as they were. `reach`: the widest
// allowance. One that finds no cut line in front of it stays as it is.
void nicks_through_allowance(GradedPiece& piece, double reach);

}  // namespace lastwright
