#include "geometry/io/dxf/dxf_place_path.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

Spline mapped(const Spline& spline, const PlaneAffine& map) {
  std::vector<Vec2> poles = spline.poles();
  for (Vec2& pole : poles) pole = map.point(pole);
  Result<Spline> result = make_spline(spline.degree(), spline.knots(), std::move(poles), spline.weights());
  invariant(result.ok(), "an affine map of a good spline is a good spline");
  return std::move(result).value();
}

// The arc as a rational quadratic spline of spans of at most a quarter turn, its ends kept to the bit; then
// mapped, which is exact because affine maps of poles are affine maps of the curve.
Spline mapped_arc(const ArcSegment& arc, const PlaneAffine& map) {
  constexpr double kQuarter = std::numbers::pi / 2.0;  // one span of a rational quadratic
  const int spans = std::max(1, static_cast<int>(std::ceil(std::abs(arc.sweep()) / kQuarter - 1e-9)));
  const double half = arc.sweep() / spans / 2.0;
  std::vector<Vec2> poles{map.point(arc.a)};
  std::vector<double> weights{1.0};
  std::vector<double> knots{0.0, 0.0, 0.0};
  for (int i = 0; i < spans; ++i) {
    const Vec2 from = i == 0 ? arc.a : arc.point_at(static_cast<double>(i) / spans);
    const Vec2 to = i + 1 == spans ? arc.b : arc.point_at(static_cast<double>(i + 1) / spans);
    const Vec2 half_chord = 0.5 * (to - from);
    poles.push_back(
        map.point(from + half_chord - std::tan(half) * left_of(half_chord)));  // where the end tangents meet
    poles.push_back(map.point(to));
    weights.push_back(std::cos(half));
    weights.push_back(1.0);
    for (int twice = 0; twice < 2; ++twice) knots.push_back(static_cast<double>(i + 1) / spans);
  }
  knots.push_back(1.0);
  Result<Spline> spline = make_spline(2, std::move(knots), std::move(poles), std::move(weights));
  invariant(spline.ok(), "an arc is a rational quadratic spline");
  return std::move(spline).value();
}

void add_segment(std::vector<Curve>& curves, const ArcSegment& drawn, const PlaneAffine& map, Vec2 from,
                 Vec2 to) {
  // Of a chord of a metre such an arc rises by less than a nanometre; its radius would leave every number.
  constexpr double kNoBulge = 1e-12;
  if (std::abs(drawn.bulge) < kNoBulge) {
    curves.emplace_back(Line{from, to});
  } else if (!map.keeps_circles()) {
    curves.emplace_back(mapped_arc(drawn, map));
  } else {
    const double bulge = map.mirrors() ? -drawn.bulge : drawn.bulge;
    if (std::abs(bulge) <= 1.0) {
      curves.emplace_back(Arc{from, to, bulge});
      return;
    }
    const ArcSegment arc{from, to, bulge};
    const Vec2 middle = arc.point_at(0.5);
    const double half_bulge = std::tan(arc.sweep() / 8.0);
    curves.emplace_back(Arc{from, middle, half_bulge});
    curves.emplace_back(Arc{middle, to, half_bulge});
  }
}

}  // namespace

namespace {

// A spline turns sharply only where a knot stands as often as its degree: the pole there is a point of the
// curve, and the poles beside it are its tangents. Cut there, it becomes curves that are smooth inside.
std::vector<Spline> smooth_parts(const Spline& spline) {
  constexpr double kTurn = 1e-4;  // radians; below it nobody sees a corner
  const auto degree = static_cast<std::size_t>(spline.degree());
  const std::vector<double>& knots = spline.knots();
  const std::vector<Vec2>& poles = spline.poles();
  std::vector<std::size_t> cuts;  // index of the first of the knots
  for (std::size_t i = degree + 1; i < poles.size();) {
    std::size_t next = i + 1;
    while (next < poles.size() && knots[next] == knots[i]) ++next;
    if (next - i == degree) {
      // Backwards and forwards from pole i - 1 to the first that lies elsewhere.
      std::size_t before = i - 1;
      while (before > 0 && poles[before] == poles[i - 1]) --before;
      std::size_t after = i;
      while (after + 1 < poles.size() && poles[after] == poles[i - 1]) ++after;
      if (std::abs(angle_between(poles[i - 1] - poles[before], poles[after] - poles[i - 1])) > kTurn)
        cuts.push_back(i);
    }
    i = next;
  }
  if (cuts.empty()) return {spline};
  std::vector<Spline> parts;
  std::size_t first_knot = degree + 1;  // after the clamped start
  std::size_t first_pole = 0;
  cuts.push_back(poles.size());  // the clamped end
  for (const std::size_t cut : cuts) {
    const double start = knots[first_knot - 1];
    const double end = knots[cut];
    std::vector<double> own(degree + 1, start);
    own.insert(own.end(), knots.begin() + static_cast<std::ptrdiff_t>(first_knot),
               knots.begin() + static_cast<std::ptrdiff_t>(cut));
    own.insert(own.end(), degree + 1, end);
    const auto part_of_vector = [&](const auto& all) {
      return std::vector(all.begin() + static_cast<std::ptrdiff_t>(first_pole),
                         all.begin() + static_cast<std::ptrdiff_t>(cut));
    };
    Result<Spline> part =
        make_spline(spline.degree(), std::move(own), part_of_vector(poles),
                    spline.weights().empty() ? std::vector<double>{} : part_of_vector(spline.weights()));
    if (!part) return {spline};  // a piece of next to no length in its parameter: left whole
    parts.push_back(std::move(part).value());
    first_pole = cut - 1;
    first_knot = cut + degree;
  }
  return parts;
}

}  // namespace

DrawnPath placed_path(const DxfPolyline& polyline, const PlaneAffine& map) {
  const std::size_t count = polyline.vertices.size();
  constexpr double kSame = tolerance::kSamePoint.value();  // as for the points of any drawing
  DrawnPath path;
  path.closed = polyline.closed;
  path.vertices = count;
  if (count == 0) return path;
  const std::size_t segments = polyline.closed ? count : count - 1;
  // An arc on the same point is a full turn of next to nothing, unless its bulge is huge.
  const auto has_length = [&](const ArcVertex& from, Vec2 a, Vec2 b) {
    const double chord = distance(a, b);
    return chord > kSame || chord * std::abs(from.bulge) > kSame;
  };
  // Vertices that start a segment, each with the place it has after the map.
  std::vector<std::pair<ArcVertex, Vec2>> kept;
  kept.reserve(count);
  for (std::size_t i = 0; i < count; ++i) {
    const ArcVertex& vertex = polyline.vertices[i];
    const Vec2 at = map.point(vertex.at);
    if (!kept.empty() && !has_length(kept.back().first, kept.back().second, at)) {
      kept.back().first.bulge = vertex.bulge;
      ++path.duplicates;
      continue;
    }
    kept.emplace_back(vertex, at);
  }
  if (polyline.closed && kept.size() > 1 &&
      !has_length(kept.back().first, kept.back().second, kept.front().second)) {
    kept.pop_back();  // the last segment ran back to the first vertex already
    ++path.duplicates;
  }
  path.curves.reserve(kept.size());
  const std::size_t last = segments == count ? kept.size() : kept.size() - 1;
  if (kept.size() < 2) return path;
  for (std::size_t i = 0; i < last; ++i) {
    const auto& [from, a] = kept[i];
    const auto& [to, b] = kept[i + 1 == kept.size() ? 0 : i + 1];
    add_segment(path.curves, {from.at, to.at, from.bulge}, map, a, b);
  }
  return path;
}

DrawnPath placed_path(const Spline& spline, const PlaneAffine& map) {
  DrawnPath path;
  const Spline whole = mapped(spline, map);
  path.closed = distance(whole.poles().front(), whole.poles().back()) <= tolerance::kSamePoint.value();
  for (Spline& part : smooth_parts(whole)) path.curves.emplace_back(std::move(part));
  return path;
}

DrawnPath placed_path(const DxfCircle& circle, const PlaneAffine& map) {
  const Vec2 out{circle.radius, 0.0};
  DxfPolyline halves{{{circle.centre + out, 1.0}, {circle.centre - out, 1.0}}, true};
  DrawnPath path = placed_path(halves, map);
  path.vertices = 0;
  return path;
}

}  // namespace lastwright
