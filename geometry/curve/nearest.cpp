#include "geometry/curve/nearest.hpp"

#include <vector>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

NearestPoint at_parameter(const Curve& curve, double t, Vec2 p) {
  const Vec2 at = point_at(curve, t);
  return {t, at, distance(at, p)};
}

// Half the rate at which the squared distance grows along the curve.
double growth(const Curve& curve, double t, Vec2 p) {
  return dot(point_at(curve, t) - p, derivative_at(curve, t));
}

// The dip between two parameters: the growth is below 0 at `low` and above 0 at `high`.
double dip(const Curve& curve, double low, double high, Vec2 p) {
  constexpr int kHalvings = 60;  // [0, 1] down to the last bit of a double
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low + high);
    if (distance(point_at(curve, low), point_at(curve, high)) < tolerance::kRoot.value()) return middle;
    (growth(curve, middle, p) < 0.0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

NearestPoint nearest_on_spline(const Curve& curve, Vec2 p) {
  constexpr int kSamplesPerSpan = 32;
  std::vector<double> ends = breaks_of(curve);
  ends.insert(ends.begin(), 0.0);
  ends.push_back(1.0);
  NearestPoint best = at_parameter(curve, 0.0, p);
  const auto consider = [&](double t) {
    const NearestPoint here = at_parameter(curve, t, p);
    if (here.distance < best.distance) best = here;
  };
  double last = 0.0;
  double last_growth = growth(curve, 0.0, p);
  for (std::size_t span = 0; span + 1 < ends.size(); ++span) {
    for (int i = 1; i <= kSamplesPerSpan; ++i) {
      const double t = i == kSamplesPerSpan
                           ? ends[span + 1]
                           : ends[span] + (ends[span + 1] - ends[span]) * i / kSamplesPerSpan;
      const double here = growth(curve, t, p);
      consider(t);
      if (last_growth < 0.0 && here > 0.0) consider(dip(curve, last, t, p));
      last = t;
      last_growth = here;
    }
  }
  return best;
}

}  // namespace

NearestPoint nearest(const Curve& curve, Vec2 p) {
  if (const auto* line = std::get_if<Line>(&curve)) {
    return at_parameter(curve, ArcSegment{line->a, line->b, 0.0}.nearest(p), p);
  }
  if (const auto* arc = std::get_if<Arc>(&curve)) return at_parameter(curve, arc->segment().nearest(p), p);
  return nearest_on_spline(curve, p);
}

}  // namespace lastwright
