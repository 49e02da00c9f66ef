#include "geometry/check/monotone_runs.hpp"

#include <cmath>

#include "geometry/curve/intersect.hpp"

namespace lastwright {

namespace {

// Which quadrants hold a direction, one bit each for x >= 0, x <= 0, y >= 0 and y <= 0.
constexpr unsigned kX = 0b0011;
constexpr unsigned kY = 0b1100;

unsigned signs_of(Vec2 v) {
  return (v.x >= 0.0 ? 1U : 0U) | (v.x <= 0.0 ? 2U : 0U) | (v.y >= 0.0 ? 4U : 0U) | (v.y <= 0.0 ? 8U : 0U);
}

bool one_quadrant(unsigned signs) {
  return (signs & kX) != 0 && (signs & kY) != 0;
}

// The signs all directions of a segment share; none for one that is by itself.
unsigned signs_along(const ArcSegment& s, double shortest) {
  const Vec2 chord = s.b - s.a;
  if (!(std::abs(chord.x) + std::abs(chord.y) > shortest)) return 0;
  if (s.straight()) return signs_of(chord);
  if (!(std::abs(s.bulge) < kUnderQuarterTurn)) return 0;
  // The directions of an arc below a half turn lie between those of its ends (see ArcSegment::turned_chord).
  const Vec2 even = (1.0 - s.bulge * s.bulge) * chord;
  const Vec2 odd = 2.0 * s.bulge * left_of(chord);
  return signs_of(even - odd) & signs_of(even + odd);
}

}  // namespace

MonotoneRuns::MonotoneRuns(const ClosedArcPath& path, double touch) : path_(path), half_touch_(0.5 * touch) {
  runs_.reserve(24);
  unsigned shared = 0;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    const unsigned signs = signs_along(segment, 2.0 * touch);
    if (one_quadrant(signs & shared)) {
      shared &= signs;
      runs_.back().last = i + 1;
      runs_.back().box.add(segment.b);
      continue;
    }
    shared = signs;
    Run run{i, i + 1, {}};
    if (one_quadrant(signs)) {
      run.box.add(segment.a);
      run.box.add(segment.b);
    } else {
      run.box = loose_bounds(segment);
    }
    runs_.push_back(run);
  }
  for (Run& run : runs_) run.box = run.box.grown(half_touch_);
}

MonotoneRuns::Run MonotoneRuns::part(std::size_t first, std::size_t last) const {
  const Vec2 a = path_.vertices[first].at;
  const Vec2 b = path_.vertices[last == path_.size() ? 0 : last].at;
  return {first, last,
          Box2{{std::min(a.x, b.x), std::min(a.y, b.y)}, {std::max(a.x, b.x), std::max(a.y, b.y)}}.grown(
              half_touch_)};
}

}  // namespace lastwright
