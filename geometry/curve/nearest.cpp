#include "geometry/curve/nearest.hpp"

#include <algorithm>
#include <limits>
#include <vector>

#include "geometry/box2.hpp"
#include "geometry/curve/spline.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

NearestPoint at_parameter(const Curve& curve, double t, Vec2 p) {
  const Vec2 at = point_at(curve, t);
  return {t, at, distance(at, p)};
}

// A place of a spline as it is seen from p.
struct SeenPlace {
  double t = 0.0;
  Vec2 at;
  double growth = 0.0;  // half the rate at which the squared distance grows along the curve
};

SeenPlace seen_at(const Spline& spline, double t, Vec2 p) {
  const CurveJet jet = jet_at(spline, t, 1);
  const Vec2 at = t <= 0.0 ? spline.poles().front() : t >= 1.0 ? spline.poles().back() : jet.at;
  return {t, at, dot(at - p, jet.first)};
}

// The dip between two places: the growth is below 0 at `low` and above 0 at `high`.
double dip(const Spline& spline, SeenPlace low, SeenPlace high, Vec2 p) {
  constexpr int kHalvings = 60;  // [0, 1] down to the last bit of a double
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low.t + high.t);
    if (distance(low.at, high.at) < tolerance::kRoot.value()) return middle;
    const SeenPlace here = seen_at(spline, middle, p);
    (here.growth < 0.0 ? low : high) = here;
  }
  return 0.5 * (low.t + high.t);
}

// The curve between two knots lies in the hull of the poles that act there, and so no nearer than their box.
double hull_away(const Spline& spline, double from, Vec2 p) {
  const std::size_t span = span_at(spline, from);
  Box2 box;
  for (std::size_t i = span - static_cast<std::size_t>(spline.degree()); i <= span; ++i)
    box.add(spline.poles()[i]);
  return norm(Vec2{std::max({box.low.x - p.x, 0.0, p.x - box.high.x}),
                   std::max({box.low.y - p.y, 0.0, p.y - box.high.y})});
}

NearestPoint nearest_on_spline(const Spline& spline, Vec2 p) {
  constexpr int kSamplesPerSpan = 32;
  std::vector<double> ends = interior_knots(spline);
  ends.insert(ends.begin(), 0.0);
  ends.push_back(1.0);
  std::vector<SeenPlace> at_ends;
  double least = std::numeric_limits<double>::infinity();
  for (const double t : ends) {
    at_ends.push_back(seen_at(spline, t, p));
    least = std::min(least, distance(at_ends.back().at, p));
  }
  NearestPoint best{0.0, at_ends.front().at, distance(at_ends.front().at, p)};
  const auto consider = [&](double t, Vec2 at) {
    const double away = distance(at, p);
    if (away < best.distance) best = {t, at, away};
  };
  for (std::size_t span = 0; span + 1 < ends.size(); ++span) {
    // Nothing in it can be nearer than what is known: a rounding more.
    if (hull_away(spline, ends[span], p) > std::min(best.distance, least) + tolerance::kRoot.value())
      continue;
    SeenPlace last = at_ends[span];
    for (int i = 1; i <= kSamplesPerSpan; ++i) {
      const SeenPlace here =
          i == kSamplesPerSpan
              ? at_ends[span + 1]
              : seen_at(spline, ends[span] + (ends[span + 1] - ends[span]) * i / kSamplesPerSpan, p);
      consider(here.t, here.at);
      if (last.growth < 0.0 && here.growth > 0.0) {
        const double lowest = dip(spline, last, here, p);
        consider(lowest, seen_at(spline, lowest, p).at);
      }
      last = here;
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
  return nearest_on_spline(std::get<Spline>(curve), p);
}

}  // namespace lastwright
