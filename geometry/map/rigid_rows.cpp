#include "geometry/map/rigid_rows.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace lastwright {

namespace {

// Direction in which the distance from p to the arc grows, as a unit vector. On the arc itself: its normal.
Vec2 away_from(const ReadyArc& arc, Vec2 p, Vec2 foot) {
  constexpr double kOnArc = 1e-7;  // mm: nearer than this the direction of the gap is rounding
  const Vec2 gap = p - foot;
  if (norm(gap) > kOnArc) return unit(gap);
  if (arc.turn != 0.0) return unit(foot - arc.centre);
  return left_of(unit(arc.b - arc.a));
}

// A turn whose sine and cosine are reckoned once; as `turned`.
struct ReckonedTurn {
  double c;
  double s;
  explicit ReckonedTurn(double angle) : c(std::cos(angle)), s(std::sin(angle)) {}
  Vec2 operator()(Vec2 v) const { return {c * v.x - s * v.y, s * v.x + c * v.y}; }
};

bool beside(std::size_t one, std::size_t other, std::size_t n) {
  const std::size_t off = one > other ? one - other : other - one;
  return off <= 1 || off + 1 == n;
}

// No arc but this and the two beside it is nearer to p than that; never more than `reach`.
double others_beyond(const MeasuredOutline& outline, Vec2 p, std::size_t arc, double reach) {
  const std::vector<ReadyArc>& arcs = outline.arcs();
  double least = reach * reach;
  for (std::size_t block = 0; block < outline.blocks().size(); ++block) {
    if (outline.blocks()[block].square_gap(p) >= least) continue;
    const std::size_t end = std::min(arcs.size(), (block + 1) * MeasuredOutline::kBlock);
    for (std::size_t i = block * MeasuredOutline::kBlock; i < end; ++i) {
      if (!beside(i, arc, arcs.size())) least = std::min(least, arcs[i].box.square_gap(p));
    }
  }
  return std::sqrt(least);
}

// As MeasuredOutline::nearest, where several arcs are as near too, which is sooner done with `guess`, the
// nearest of the sample before.
MeasuredOutline::Nearest nearest_with(const MeasuredOutline& outline, Vec2 p, std::size_t hint,
                                      std::size_t guess) {
  constexpr double kRounding = 1e-9;  // mm
  const std::vector<ReadyArc>& arcs = outline.arcs();
  MeasuredOutline::Nearest best{distance_to(arcs[hint], p), hint};
  const double known = kRounding + std::min(distance_to(arcs[guess], p),
                                            distance_to(arcs[guess + 1 == arcs.size() ? 0 : guess + 1], p));
  if (known < best.distance) best.distance = known;  // one that is nearer is met below
  for (std::size_t block = 0; block < outline.blocks().size(); ++block) {
    if (outline.blocks()[block].square_gap(p) >= best.distance * best.distance) continue;
    const std::size_t end = std::min(arcs.size(), (block + 1) * MeasuredOutline::kBlock);
    for (std::size_t i = block * MeasuredOutline::kBlock; i < end; ++i) {
      if (arcs[i].box.square_gap(p) >= best.distance * best.distance) continue;
      const double d = distance_to(arcs[i], p);
      if (d < best.distance) best = {d, i};
    }
  }
  return best;
}

// The arc nearest to p: the one that MeasuredOutline::nearest finds. Keeps in the sample what spares the next
// search.
std::size_t nearest_arc(const MeasuredOutline& outline, Vec2 p, FitSample& sample, std::size_t guess) {
  constexpr double kLookOut = 6.0;    // mm beyond the nearest: samples seldom move so far in a fit
  constexpr double kRounding = 1e-6;  // mm
  const std::vector<ReadyArc>& arcs = outline.arcs();
  const std::size_t n = arcs.size();
  if (sample.beyond >= 0.0 && n > 3) {
    const double here = distance_to(arcs[sample.hint], p);
    if (here + distance(p, sample.seen) + kRounding < sample.beyond) {
      MeasuredOutline::Nearest best{here, sample.hint};
      std::array<std::size_t, 3> near{sample.around == 0 ? n - 1 : sample.around - 1, sample.around,
                                      sample.around + 1 == n ? 0 : sample.around + 1};
      std::sort(near.begin(), near.end());
      for (const std::size_t i : near) {
        if (i == sample.hint || arcs[i].box.square_gap(p) >= best.distance * best.distance) continue;
        const double d = distance_to(arcs[i], p);
        if (d < best.distance) best = {d, i};
      }
      return best.arc;
    }
  }
  const MeasuredOutline::Nearest nearest = nearest_with(outline, p, sample.hint, guess);
  sample.seen = p;
  sample.around = nearest.arc;
  sample.beyond = others_beyond(outline, p, nearest.arc, nearest.distance + kLookOut);
  return nearest.arc;
}

}  // namespace

std::vector<FitSample> sampled(const MeasuredOutline& outline, std::span<const double> tolerances,
                               double step) {
  std::vector<FitSample> samples;
  for (const ReadyArc& arc : outline.arcs()) {
    const double tolerance = tolerances[arc.label];
    samples.push_back({arc.a, tolerance, 0});
    const int parts = static_cast<int>(std::ceil(arc.length / step));
    for (int k = 1; k < parts; ++k) {
      Vec2 p = lerp(arc.a, arc.b, static_cast<double>(k) / parts);
      if (arc.turn != 0.0) p = arc.centre + arc.radius * unit(p - arc.centre);
      samples.push_back({p, tolerance, 0});
    }
  }
  return samples;
}

void add_rows(SampledPair& sampled_pair, const Pose& pose, double arm, std::vector<ResidualRow>& rows) {
  const auto row = [&](Vec2 normal, double signed_distance, Vec2 from_pivot, double sign, double tolerance) {
    const double spin = dot(normal, left_of(from_pivot)) / arm;
    rows.push_back({signed_distance / tolerance,
                    {sign * normal.x / tolerance, sign * normal.y / tolerance, sign * spin / tolerance}});
  };
  const Vec2 centre = pose.pivot + pose.shift;
  const ReckonedTurn on(pose.turn);
  const ReckonedTurn back(-pose.turn);
  const auto place = [&](Vec2 p) { return pose.pivot + on(p - pose.pivot) + pose.shift; };
  const MeasuredOutline& still = *sampled_pair.pair.still;
  std::size_t guess = 0;
  for (FitSample& sample : sampled_pair.moving) {
    const Vec2 p = place(sample.at);
    sample.hint = guess = nearest_arc(still, p, sample, guess);
    const ReadyArc& arc = still.arcs()[sample.hint];
    const Vec2 foot = foot_on(arc, p);
    const Vec2 normal = away_from(arc, p, foot);
    row(normal, dot(normal, p - foot), p - centre, 1.0, sample.tolerance);
  }
  // Still samples are carried back into the moving frame instead of placing the whole moving outline.
  const MeasuredOutline& moving = *sampled_pair.pair.moving;
  guess = 0;
  for (FitSample& sample : sampled_pair.still) {
    const Vec2 q = pose.pivot + back(sample.at - pose.shift - pose.pivot);
    sample.hint = guess = nearest_arc(moving, q, sample, guess);
    const ReadyArc& arc = moving.arcs()[sample.hint];
    const Vec2 foot = foot_on(arc, q);
    const Vec2 normal = on(away_from(arc, q, foot));
    const Vec2 placed_foot = place(foot);
    row(normal, dot(normal, sample.at - placed_foot), placed_foot - centre, -1.0, sample.tolerance);
  }
}

void add_rows(std::span<const PointPair> points, const Pose& pose, double arm,
              std::vector<ResidualRow>& rows) {
  constexpr int kDirections =
      8;  // an octagon round the tolerance circle, and the point of the circle that is nearest
  static const std::array<Vec2, kDirections / 2> kAround = [] {
    std::array<Vec2, kDirections / 2> around;
    for (int k = 0; k < kDirections / 2; ++k)
      around[static_cast<std::size_t>(k)] = turned({1.0, 0.0}, k * 2.0 * std::numbers::pi / kDirections);
    return around;
  }();
  const Vec2 centre = pose.pivot + pose.shift;
  for (const PointPair& pair : points) {
    const Vec2 p = pose.place(pair.moving);
    const auto row = [&](Vec2 normal) {
      const double spin = dot(normal, left_of(p - centre)) / arm;
      rows.push_back({dot(normal, p - pair.still) / pair.tolerance,
                      {normal.x / pair.tolerance, normal.y / pair.tolerance, spin / pair.tolerance}});
    };
    for (const Vec2 direction : kAround) row(direction);  // residuals are two-sided
    if (norm(p - pair.still) > 0.0) row(unit(p - pair.still));
  }
}

}  // namespace lastwright
