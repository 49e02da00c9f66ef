#include "grading/pieces/corner_part.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// A fifth of the budget: above the rounding of drawings with three decimals.
constexpr double kOff = 0.2 * tolerance::kOffset.value();
constexpr double kNear = 5.0;  // times the larger allowance: further out than any corner reaches
constexpr double kFar = 20.0;  // and so far that the ends of the trial's edges play no part

// A simple outline with the trial's corner as its vertex 1, between its first two edges.
ClosedArcPath outline_with(const CornerTrial& trial, double far) {
  const Vec2 a = trial.vertex - far * trial.in;
  const Vec2 b = trial.vertex + far * trial.out;
  const double turn = angle_between(trial.in, trial.out);
  constexpr double kSharp = 0.5;  // radians: from here on the three points make a sound triangle
  std::vector<Vec2> points{a, trial.vertex, b};
  if (turn < kSharp) {
    const Vec2 left_b = left_of(trial.out);
    const Vec2 left_a = left_of(trial.in);
    const double deep = turn < 0.0 ? far : 0.25 * far;
    points.push_back(b + deep * left_b);
    if (turn < -kSharp) points.push_back(trial.vertex + 2.0 * far * unit(left_a + left_b));
    points.push_back(a + deep * left_a);
  }
  ClosedArcPath path;
  for (const Vec2 p : points) path.vertices.push_back({p, 0.0});
  return path;
}

double distance_to(const std::vector<Curve>& curves, Vec2 p) {
  double least = INFINITY;
  for (const Curve& curve : curves) {
    if (bounds(curve).grown(kOff).overlaps({p, p})) least = std::min(least, nearest(curve, p).distance);
  }
  return least;
}

}  // namespace

bool makes_corner(const CornerTrial& trial) {
  const double wide = std::max(trial.before.value(), trial.after.value());
  if (wide == 0.0) return trial.corner.empty();
  const ClosedArcPath net = outline_with(trial, kFar * wide);
  std::vector<Millimetres> distances(net.size(), Millimetres(0.0));
  distances[0] = trial.before;
  distances[1] = trial.after;
  OffsetOptions options;
  options.corners.assign(net.size(), OffsetCorner::kMitre);
  options.corners[1] = trial.form;
  const Result<OffsetOutline> cut = offset(net, distances, options);
  if (!cut) return false;

  const auto counts = [&](Vec2 p) {
    if (trial.drawn_side && dot(*trial.drawn_side, p - trial.vertex) < 0.0) return false;
    return distance(p, trial.vertex) <= kNear * wide;
  };
  std::vector<Curve> drawn = trial.edges;
  drawn.insert(drawn.end(), trial.corner.begin(), trial.corner.end());
  for (std::size_t i = 0; i < cut->path.size(); ++i) {
    const ArcSegment s = cut->path.segment(i);
    if (counts(s.a) && distance_to(drawn, s.a) > kOff) return false;
    const Vec2 middle = s.point_at(0.5);
    if (cut->source[i].corner && counts(middle) && distance_to(drawn, middle) > kOff) return false;
  }
  const auto off = [&](Vec2 p) { return lastwright::distance_to(cut->path, p) > kOff; };
  for (const Curve& curve : trial.corner) {
    if (off(start_of(curve)) || off(point_at(curve, 0.5)) || off(end_of(curve))) return false;
  }
  return true;
}

}  // namespace lastwright
