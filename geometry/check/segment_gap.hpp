// Least distance between two straight or circular segments: exact by formula, no sampling.
//
// The least distance is reached at an end of one of them, where they meet, or on a common normal; all of
// these are a handful of points, so the answer carries rounding only (about 1e-12 of the coordinates).
#pragma once

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct SegmentGap {
  double distance = 0.0;
  double t_first = 0.0;  // parameters of the two nearest points
  double t_second = 0.0;
};
SegmentGap gap_between(const ArcSegment& first, const ArcSegment& second);

// Least distance between two outlines, 0 where they meet; infinite when one is empty.
struct PathGap {
  double distance = 0.0;
  Vec2 on_first;
  Vec2 on_second;
};
PathGap gap_between(const ClosedArcPath& first, const ClosedArcPath& second);

// The narrowest place of one outline: the least distance between two of its points where neither can move
// along the outline without the distance growing. A neck, a strap and a slot have such a place; a mere corner
// has none. Places wider than `look_out` are not searched for; then the distance is infinite.
PathGap narrowest_place(const ClosedArcPath& path, Millimetres look_out);

}  // namespace lastwright
