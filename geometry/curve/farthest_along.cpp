#include "geometry/curve/farthest_along.hpp"

#include <algorithm>
#include <vector>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Farthest {
  Vec2 way;
  Vec2 at;

  void consider(Vec2 p) {
    if (dot(p - at, way) > tolerance::kRoot.value()) at = p;
  }
};

// Where the curve turns back: it runs on along the way at `low` and back at `high`.
Vec2 crest(const Curve& curve, double low, double high, Vec2 way) {
  constexpr int kHalvings = 60;  // [0, 1] down to the last bit of a double
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low + high);
    (dot(derivative_at(curve, middle), way) > 0.0 ? low : high) = middle;
  }
  return point_at(curve, 0.5 * (low + high));
}

void consider_spline(const Curve& curve, Farthest& best) {
  constexpr int kSamplesPerSpan = 32;
  std::vector<double> ends = breaks_of(curve);
  ends.insert(ends.begin(), 0.0);
  ends.push_back(1.0);
  double last = 0.0;
  double last_gain = dot(derivative_at(curve, 0.0), best.way);
  for (std::size_t span = 0; span + 1 < ends.size(); ++span) {
    for (int i = 1; i <= kSamplesPerSpan; ++i) {
      const double t = i == kSamplesPerSpan
                           ? ends[span + 1]
                           : ends[span] + (ends[span + 1] - ends[span]) * i / kSamplesPerSpan;
      const double gain = dot(derivative_at(curve, t), best.way);
      if (last_gain > 0.0 && gain < 0.0) best.consider(crest(curve, last, t, best.way));
      best.consider(point_at(curve, t));
      last = t;
      last_gain = gain;
    }
  }
}

}  // namespace

Vec2 farthest_along(const Curve& curve, Vec2 way) {
  Farthest best{way, start_of(curve)};
  best.consider(end_of(curve));
  if (const auto* arc = std::get_if<Arc>(&curve)) {
    const ArcSegment segment = arc->segment();
    const Vec2 top = segment.centre() + segment.radius() * way;
    if (segment.faces(top)) best.consider(top);
  } else if (std::holds_alternative<Spline>(curve)) {
    consider_spline(curve, best);
  }
  return best.at;
}

}  // namespace lastwright
