// One edge of an outline, moved by its distance; what happens at its ends is not part of it.
#pragma once

#include "geometry/curve/arc_segment.hpp"
#include "geometry/offset/offset.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

// Runs along an edge that are shorter are rounding.
inline constexpr double kNoRun = tolerance::kRoot.value();

struct MovedEdge {
  ArcSegment source;
  ArcSegment moved;
  Vec2 leaves;  // unit tangents of the source
  Vec2 arrives;
  double outward = 0.0;
  double curvature = 0.0;  // of the source
  OffsetSource from;
  // New radius over old; 0 and below: the distance has used the arc up.
  [[nodiscard]] double bent() const { return 1.0 + curvature * outward; }
};

// A moved segment ends at `end` instead, on its line or circle or so near that it does not matter.
inline ArcSegment with_end(const ArcSegment& s, Vec2 end) {
  return s.straight() ? ArcSegment{s.a, end, 0.0} : arc_from_tangent(s.a, s.start_tangent(), end);
}

}  // namespace lastwright
