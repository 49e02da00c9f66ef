#include "geometry/map/rigid_rows.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace lastwright {

namespace {

// Direction in which the distance from p to the arc grows, as a unit vector. On the arc itself: its normal.
Vec2 away_from(const ReadyArc& arc, Vec2 p, Vec2 foot) {
  constexpr double kOnArc = 1e-7;  // mm: nearer than this the direction of the gap is rounding
  const Vec2 gap = p - foot;
  const double length = norm(gap);
  if (length > kOnArc) return gap / length;
  if (arc.turn != 0.0) return unit(foot - arc.centre);
  return left_of(unit(arc.b - arc.a));
}

// turned() by one angle of many vectors, the same to the last bit: its sine and cosine are reckoned once.
class FixedTurn {
 public:
  explicit FixedTurn(double angle) : c_(std::cos(angle)), s_(std::sin(angle)) {}
  Vec2 operator()(Vec2 v) const { return {c_ * v.x - s_ * v.y, s_ * v.x + c_ * v.y}; }

 private:
  double c_;
  double s_;
};

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
  const FixedTurn turn(pose.turn);
  const FixedTurn back(-pose.turn);
  const auto place = [&](Vec2 p) { return pose.pivot + turn(p - pose.pivot) + pose.shift; };
  const MeasuredOutline& still = *sampled_pair.pair.still;
  for (FitSample& sample : sampled_pair.moving) {
    const Vec2 p = place(sample.at);
    sample.hint = still.nearest(p, sample.hint).arc;
    const ReadyArc& arc = still.arcs()[sample.hint];
    const Vec2 foot = foot_on(arc, p);
    const Vec2 normal = away_from(arc, p, foot);
    row(normal, dot(normal, p - foot), p - centre, 1.0, sample.tolerance);
  }
  // Still samples are carried back into the moving frame instead of placing the whole moving outline.
  const MeasuredOutline& moving = *sampled_pair.pair.moving;
  for (FitSample& sample : sampled_pair.still) {
    const Vec2 q = pose.pivot + back(sample.at - pose.shift - pose.pivot);
    sample.hint = moving.nearest(q, sample.hint).arc;
    const ReadyArc& arc = moving.arcs()[sample.hint];
    const Vec2 foot = foot_on(arc, q);
    const Vec2 normal = turn(away_from(arc, q, foot));
    const Vec2 placed_foot = place(foot);
    row(normal, dot(normal, sample.at - placed_foot), placed_foot - centre, -1.0, sample.tolerance);
  }
}

void add_rows(std::span<const PointPair> points, const Pose& pose, double arm,
              std::vector<ResidualRow>& rows) {
  constexpr int kDirections =
      8;  // an octagon round the tolerance circle, and the point of the circle that is nearest
  static const std::array<Vec2, kDirections / 2> directions = [] {
    std::array<Vec2, kDirections / 2> all;
    for (std::size_t k = 0; k < all.size(); ++k)
      all[k] = turned({1.0, 0.0}, static_cast<int>(k) * 2.0 * std::numbers::pi / kDirections);
    return all;
  }();
  const Vec2 centre = pose.pivot + pose.shift;
  for (const PointPair& pair : points) {
    const Vec2 p = pose.place(pair.moving);
    const auto row = [&](Vec2 normal) {
      const double spin = dot(normal, left_of(p - centre)) / arm;
      rows.push_back({dot(normal, p - pair.still) / pair.tolerance,
                      {normal.x / pair.tolerance, normal.y / pair.tolerance, spin / pair.tolerance}});
    };
    for (const Vec2 direction : directions) row(direction);  // residuals are two-sided
    if (norm(p - pair.still) > 0.0) row(unit(p - pair.still));
  }
}

}  // namespace lastwright
