#include "geometry/check/segment_gap.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();  // two things that never come near

double box_distance(const Box2& a, const Box2& b) {
  const double dx = std::max({0.0, a.low.x - b.high.x, b.low.x - a.high.x});
  const double dy = std::max({0.0, a.low.y - b.high.y, b.low.y - a.high.y});
  return std::hypot(dx, dy);
}

// Points among which, projected on the first segment, its nearest place to the second is found.
struct Guesses {
  std::array<Vec2, 7> points;
  std::size_t count = 0;
  void add(Vec2 p) { points[count++] = p; }
};

// The place of the flatter of two segments that lies nearest to the centre of the other one: where a common
// normal is the shortest way, it starts there. The other centre may be too far away to reckon with.
void add_common_normal(const ArcSegment& first, const ArcSegment& second, Guesses& guesses) {
  if (first.straight() && second.straight()) return;
  const bool swap = std::abs(first.curvature()) < std::abs(second.curvature());
  const ArcSegment& curved = swap ? second : first;
  const ArcSegment& flatter = swap ? first : second;
  guesses.add(flatter.point_at(flatter.nearest(curved.centre())));
}

Vec2 vertex_tangent_in(const ClosedArcPath& path, std::size_t i) {
  return path.segment((i + path.size() - 1) % path.size()).tangent_at(1.0);
}

// True where the distance towards `other` does not shrink when the point moves along the outline either way.
bool at_rest(const ClosedArcPath& path, std::size_t segment, double t, Vec2 at, Vec2 other) {
  constexpr double kSquare = 1e-6;  // cosine: rounding of a foot point, far below a visible angle
  const Vec2 towards = unit(other - at);
  const std::size_t n = path.size();
  Vec2 in = path.segment(segment).tangent_at(t);
  Vec2 out = in;
  if (t <= 0.0) in = vertex_tangent_in(path, segment);
  if (t >= 1.0) out = path.segment((segment + 1) % n).tangent_at(0.0);
  return dot(towards, out) <= kSquare && dot(towards, -in) <= kSquare;
}

}  // namespace

SegmentGap gap_between(const ArcSegment& first, const ArcSegment& second) {
  Guesses guesses;
  guesses.add(first.a);
  guesses.add(first.b);
  guesses.add(second.a);
  guesses.add(second.b);
  const CarrierPoints meets = carrier_points(first, second, tolerance::kSamePoint.value());
  for (std::size_t k = 0; k < meets.count; ++k) guesses.add(meets.at[k]);
  add_common_normal(first, second, guesses);
  SegmentGap best{kNever, 0.0, 0.0};
  bool from_start = false;  // most guesses lead to an end of the first, which is measured once
  bool from_end = false;
  for (std::size_t k = 0; k < guesses.count; ++k) {
    const double t = first.nearest(guesses.points[k]);
    if ((t == 0.0 && from_start) || (t == 1.0 && from_end)) continue;
    from_start = from_start || t == 0.0;
    from_end = from_end || t == 1.0;
    const Vec2 p = first.point_at(t);
    const double s = second.nearest(p);
    const double d = distance(p, second.point_at(s));
    if (d < best.distance) best = {d, t, s};
  }
  return best;
}

PathGap gap_between(const ClosedArcPath& first, const ClosedArcPath& second) {
  PathGap best{kNever, {}, {}};
  std::vector<Box2> boxes;
  boxes.reserve(second.size());
  for (std::size_t j = 0; j < second.size(); ++j) boxes.push_back(second.segment(j).bounds());
  for (std::size_t i = 0; i < first.size(); ++i) {
    const ArcSegment a = first.segment(i);
    const Box2 box = a.bounds();
    for (std::size_t j = 0; j < second.size(); ++j) {
      if (box_distance(box, boxes[j]) >= best.distance) continue;
      const ArcSegment b = second.segment(j);
      const SegmentGap gap = gap_between(a, b);
      if (gap.distance < best.distance) {
        best = {gap.distance, a.point_at(gap.t_first), b.point_at(gap.t_second)};
      }
    }
  }
  return best;
}

PathGap narrowest_place(const ClosedArcPath& path, Millimetres look_out) {
  const std::size_t n = path.size();
  PathGap best{kNever, {}, {}};
  double within = look_out.value();
  std::vector<Box2> boxes;
  boxes.reserve(n);
  for (std::size_t i = 0; i < n; ++i) boxes.push_back(path.segment(i).bounds());
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i + 1; j < n; ++j) {
      if (box_distance(boxes[i], boxes[j]) > within) continue;
      const ArcSegment a = path.segment(i);
      const ArcSegment b = path.segment(j);
      const SegmentGap gap = gap_between(a, b);
      if (gap.distance >= within || gap.distance <= tolerance::kSamePoint.value()) continue;
      const Vec2 p = a.point_at(gap.t_first);
      const Vec2 q = b.point_at(gap.t_second);
      if (!at_rest(path, i, gap.t_first, p, q) || !at_rest(path, j, gap.t_second, q, p)) continue;
      best = {gap.distance, p, q};
      within = gap.distance;
    }
  }
  return best;
}

}  // namespace lastwright
