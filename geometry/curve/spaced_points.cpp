#include "geometry/curve/spaced_points.hpp"

#include <algorithm>

#include "geometry/invariant.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kError{1e-7};  // of a length: far below what two points may miss

double length_to(const Curve& curve, double t) {
  if (t <= 0.0) return 0.0;
  return t >= 1.0 ? length(curve, kError) : length(part_of(curve, 0.0, t), kError);
}

// The parameter that is `s` from the start, by Newton steps kept inside a bracket.
double parameter_at(const Curve& curve, double s, double whole) {
  if (!std::holds_alternative<Spline>(curve)) return s / whole;
  constexpr int kMostSteps = 60;
  constexpr double kNear = 1e-7;  // mm along the curve: a point that near is there
  double low = 0.0;
  double high = 1.0;
  double t = s / whole;
  for (int step = 0; step < kMostSteps; ++step) {
    const double off = length_to(curve, t) - s;
    if (std::abs(off) < kNear) break;
    (off > 0.0 ? high : low) = t;
    const double next = t - off / norm(derivative_at(curve, t));
    t = next > low && next < high ? next : 0.5 * (low + high);
  }
  return t;
}

}  // namespace

std::vector<Vec2> points_at_shares(const std::vector<Curve>& run, const std::vector<double>& shares) {
  invariant(!run.empty(), "a run has a curve");
  std::vector<double> reached;  // the length at each curve's end
  double whole = 0.0;
  for (const Curve& curve : run) reached.push_back(whole += length(curve, kError));
  std::vector<Vec2> points;
  std::size_t at = 0;
  for (const double share : shares) {
    const double s = whole * share;
    while (at + 1 < run.size() && reached[at] < s) ++at;
    const double before = at == 0 ? 0.0 : reached[at - 1];
    const double here = reached[at] - before;
    if (share <= 0.0) {
      points.push_back(start_of(run.front()));
    } else if (share >= 1.0) {
      points.push_back(end_of(run.back()));
    } else {
      points.push_back(here > 0.0 ? point_at(run[at], parameter_at(run[at], std::min(s - before, here), here))
                                  : start_of(run[at]));
    }
  }
  return points;
}

std::vector<Vec2> spaced_points(const std::vector<Curve>& run, std::size_t parts) {
  invariant(parts > 0, "a run is cut into at least one part");
  std::vector<double> shares;
  for (std::size_t k = 0; k <= parts; ++k)
    shares.push_back(static_cast<double>(k) / static_cast<double>(parts));
  return points_at_shares(run, shares);
}

}  // namespace lastwright
