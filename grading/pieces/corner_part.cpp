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

// An edge that leaves the vertex bent, as far as `bent`, and goes straight on; its segments away from there.
struct TrialEdge {
  Vec2 bent;
  double bulge = 0.0;  // of the way from the vertex to there
  Vec2 ahead;
  Vec2 far;
};
TrialEdge trial_edge(Vec2 vertex, Vec2 leaves, double curvature, double near, double far) {
  constexpr double kMostTurn = 0.3;  // radians, so that the outline stays simple
  const double arc = std::min(near, std::abs(curvature) > 0.0 ? kMostTurn / std::abs(curvature) : near);
  const double turn = arc * curvature;
  const double half = 0.5 * turn;
  const double chord = std::abs(half) > 1e-9 ? arc * std::sin(half) / half : arc;
  const auto turned_by = [](Vec2 v, double angle) {
    return std::cos(angle) * v + std::sin(angle) * left_of(v);
  };
  TrialEdge edge;
  edge.bent = vertex + chord * turned_by(leaves, half);
  edge.bulge = std::tan(0.25 * turn);
  edge.ahead = turned_by(leaves, turn);
  edge.far = edge.bent + (far - arc) * edge.ahead;
  return edge;
}

// A simple outline with the trial's corner as its vertex 2: the first two segments are the edge before it,
// the next two the edge after it.
ClosedArcPath outline_with(const CornerTrial& trial, double near, double far) {
  // The edge before is walked from the vertex, where it turns the other way.
  const TrialEdge before = trial_edge(trial.vertex, -trial.in, -trial.bends_in, near, far);
  const TrialEdge after = trial_edge(trial.vertex, trial.out, trial.bends_out, near, far);
  const Vec2 a = before.far;
  const Vec2 b = after.far;
  const Vec2 in = -before.ahead;
  const Vec2 out = after.ahead;
  const double turn = angle_between(in, out);
  constexpr double kSharp = 0.5;  // radians: from here on the three points make a sound triangle
  std::vector<Vec2> points{a, before.bent, trial.vertex, after.bent, b};
  if (turn < kSharp) {
    const Vec2 left_b = left_of(out);
    const Vec2 left_a = left_of(in);
    const double deep = turn < 0.0 ? far : 0.25 * far;
    points.push_back(b + deep * left_b);
    if (turn < -kSharp) points.push_back(trial.vertex + 2.0 * far * unit(left_a + left_b));
    points.push_back(a + deep * left_a);
  }
  ClosedArcPath path;
  for (const Vec2 p : points) path.vertices.push_back({p, 0.0});
  path.vertices[1].bulge = -before.bulge;
  path.vertices[2].bulge = after.bulge;
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
  const ClosedArcPath net = outline_with(trial, kNear * wide, kFar * wide);
  std::vector<Millimetres> distances(net.size(), Millimetres(0.0));
  distances[0] = distances[1] = trial.before;
  distances[2] = distances[3] = trial.after;
  OffsetOptions options;
  options.corners.assign(net.size(), OffsetCorner::kMitre);
  options.corners[2] = trial.form;
  const Result<OffsetOutline> cut = offset(net, distances, options);
  if (!cut) return false;

  const auto counts = [&](Vec2 p) {
    if (trial.drawn_side && dot(*trial.drawn_side, p - trial.vertex) < 0.0) return false;
    return distance(p, trial.vertex) <= kNear * wide;
  };
  std::vector<Curve> drawn = trial.edges;
  drawn.insert(drawn.end(), trial.corner.begin(), trial.corner.end());
  // Where the edges of the trial go straight on, or end, the drawn ones need not.
  const auto of_corner = [&](std::size_t i) {
    const OffsetSource& here = cut->source[i];
    const OffsetSource& last = cut->source[i > 0 ? i - 1 : cut->source.size() - 1];
    return here.corner || last.corner || (here.segment > 1) != (last.segment > 1);
  };
  for (std::size_t i = 0; i < cut->path.size(); ++i) {
    const ArcSegment s = cut->path.segment(i);
    if (of_corner(i) && counts(s.a) && distance_to(drawn, s.a) > kOff) return false;
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
