#include "geometry/inset/curve_crossings.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Chord {
  double from;
  double to;
  Box2 box;  // of the curve between, with some room
};

std::vector<Chord> chords_of(const Curve& curve) {
  std::vector<double> stops = breaks_of(curve);
  stops.push_back(1.0);
  const int parts = std::holds_alternative<Line>(curve) ? 1 : std::holds_alternative<Arc>(curve) ? 12 : 4;
  std::vector<Chord> chords;
  double from = 0.0;
  Vec2 a = point_at(curve, 0.0);
  for (const double stop : stops) {
    const double start = from;
    for (int i = 1; i <= parts; ++i) {
      const double to = i == parts ? stop : start + i * (stop - start) / parts;
      const Vec2 b = point_at(curve, to);
      Box2 box{a, a};
      box.add(b);
      const Vec2 middle = point_at(curve, 0.5 * (from + to));
      box.add(middle);
      chords.push_back(
          {from, to, box.grown(distance(middle, lerp(a, b, 0.5)) + tolerance::kSamePoint.value())});
      from = to;
      a = b;
    }
  }
  return chords;
}

// Newton steps in both parameters, held to the curves.
std::optional<CurveCrossing> meet(const Curve& one, const Chord& c, const Curve& two, const Chord& d) {
  double t = 0.5 * (c.from + c.to);
  double u = 0.5 * (d.from + d.to);
  const auto held = [](double value, const Chord& chord) {
    const double room = 0.5 * (chord.to - chord.from);
    return std::clamp(value, std::max(0.0, chord.from - room), std::min(1.0, chord.to + room));
  };
  constexpr int kMostSteps = 40;
  for (int step = 0; step < kMostSteps; ++step) {
    const Vec2 gap = point_at(two, u) - point_at(one, t);
    if (norm(gap) <= tolerance::kRoot.value()) return CurveCrossing{point_at(one, t), t, u};
    const Vec2 a = derivative_at(one, t);
    const Vec2 b = derivative_at(two, u);
    const double det = cross(a, b);
    if (det == 0.0) return std::nullopt;
    t = held(t + cross(gap, b) / det, c);
    u = held(u + cross(gap, a) / det, d);
  }
  const Vec2 p = point_at(one, t);
  if (distance(p, point_at(two, u)) <= tolerance::kNode.value()) return CurveCrossing{p, t, u};
  return std::nullopt;
}

}  // namespace

std::vector<CurveCrossing> curve_crossings(const Curve& one, const Curve& two) {
  std::vector<CurveCrossing> found;
  const std::optional<ArcSegment> a = segment_of(one);
  const std::optional<ArcSegment> b = segment_of(two);
  if (a && b) {
    if (!loose_bounds(*a).grown(tolerance::kNode.value()).overlaps(loose_bounds(*b))) return found;
    for (const Contact& contact : contacts(*a, *b, tolerance::kNode.value()))
      found.push_back({contact.at, contact.on_one, contact.on_two});
    return found;
  }
  if (!bounds(one).grown(tolerance::kNode.value()).overlaps(bounds(two))) return found;
  const std::vector<Chord> left = chords_of(one);
  const std::vector<Chord> right = chords_of(two);
  for (const Chord& c : left) {
    for (const Chord& d : right) {
      if (!c.box.overlaps(d.box)) continue;
      const std::optional<CurveCrossing> here = meet(one, c, two, d);
      if (!here) continue;
      const auto same = [&](const CurveCrossing& other) {
        return distance(other.at, here->at) <= tolerance::kNode.value();
      };
      if (std::none_of(found.begin(), found.end(), same)) found.push_back(*here);
    }
  }
  return found;
}

}  // namespace lastwright
