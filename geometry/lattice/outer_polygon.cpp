#include "geometry/lattice/outer_polygon.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/curve/polygon_contact.hpp"
#include "geometry/offset/offset.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Points on the outline; `bow[i]`: how far the outline lies right of the chord from point i to the next.
struct FineOutline {
  std::vector<Vec2> at;
  std::vector<double> bow;
};

FineOutline fine_points(const ClosedArcPath& path, double error) {
  FineOutline fine;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    if (segment.chord() <= tolerance::kSamePoint.value()) continue;
    int count = 1;
    double bow = 0.0;
    if (!segment.straight()) {
      const double radius = std::abs(segment.radius());
      const double most = 2.0 * std::acos(std::max(0.0, 1.0 - error / radius));  // the sweep of a chord
      count = std::clamp(static_cast<int>(std::ceil(std::abs(segment.sweep()) / most)), 1, 4096);
      if (segment.bulge > 0.0) bow = radius * (1.0 - std::cos(0.5 * segment.sweep() / count));
    }
    for (int k = 0; k < count; ++k) {
      fine.at.push_back(segment.point_at(static_cast<double>(k) / count));
      fine.bow.push_back(bow);
    }
  }
  return fine;
}

// Where the outline turns most: a run of points begins there.
std::size_t sharpest(const std::vector<Vec2>& at) {
  const std::size_t n = at.size();
  std::size_t best = 0;
  double most = -1.0;
  for (std::size_t i = 0; i < n; ++i) {
    const double turn = std::abs(angle_between(at[i] - at[(i + n - 1) % n], at[(i + 1) % n] - at[i]));
    if (turn <= most) continue;
    most = turn;
    best = i;
  }
  return best;
}

// A line with everything of its run on or left of it.
struct OuterLine {
  std::size_t from;  // index of the first point, the outline begun at its sharpest corner
  Vec2 along;        // unit
  double out;        // by which the chord was moved to the right
};

std::vector<OuterLine> run_lines(const FineOutline& fine, std::size_t start, double error) {
  const std::size_t n = fine.at.size();
  const auto at = [&](std::size_t i) { return fine.at[(start + i) % n]; };
  std::vector<OuterLine> lines;
  std::size_t from = 0;
  while (from < n) {
    std::size_t to = from + 1;
    OuterLine kept{from, unit(at(to) - at(from)), fine.bow[(start + from) % n]};
    while (to < n) {
      const Vec2 along = unit(at(to + 1) - at(from));
      double out = 0.0;
      double in = 0.0;
      bool forward = along != Vec2{};
      for (std::size_t k = from; forward && k <= to; ++k) {
        const double right = -cross(along, at(k) - at(from));
        out = std::max({out, right + (k < n ? fine.bow[(start + k) % n] : 0.0)});
        in = std::max(in, -right);
        forward = dot(along, at(k + 1) - at(k)) > 0.0;
      }
      if (!forward || out + in > error) break;
      kept = {from, along, out};
      ++to;
    }
    lines.push_back(kept);
    from = to;
  }
  return lines;
}

Polygon met_lines(const std::vector<OuterLine>& lines, const FineOutline& fine, std::size_t start,
                  double error) {
  const std::size_t n = fine.at.size();
  Polygon polygon;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const OuterLine& last = lines[(i + lines.size() - 1) % lines.size()];
    const OuterLine& next = lines[i];
    const Vec2 corner = fine.at[(start + next.from) % n];
    const Vec2 one = corner - last.out * left_of(last.along);
    const Vec2 two = corner - next.out * left_of(next.along);
    const double turn = cross(last.along, next.along);
    if (std::abs(turn) > 1e-6) {
      const Vec2 met = one + cross(two - one, next.along) / turn * last.along;
      if (distance(met, corner) <= 4.0 * error || turn < -0.1) {
        polygon.push_back(met);
        continue;
      }
    }
    polygon.push_back(one);
    if (distance(one, two) > tolerance::kSamePoint.value()) polygon.push_back(two);
  }
  return polygon;
}

Polygon without_straight_corners(const Polygon& polygon) {
  Polygon kept;
  const std::size_t n = polygon.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 before = kept.empty() ? polygon[(i + n - 1) % n] : kept.back();
    const Vec2 after = polygon[(i + 1) % n];
    if (distance(before, polygon[i]) <= tolerance::kSamePoint.value()) continue;
    const double height = std::abs(cross(unit(after - before), polygon[i] - before));
    if (height <= tolerance::kRoot.value() && dot(polygon[i] - before, after - polygon[i]) > 0.0) continue;
    kept.push_back(polygon[i]);
  }
  return kept;
}

bool straight_throughout(const ClosedArcPath& path) {
  return std::all_of(path.vertices.begin(), path.vertices.end(),
                     [](const ArcVertex& v) { return v.bulge == 0.0; });
}

}  // namespace

Result<Polygon> outer_polygon(const ClosedArcPath& path, Millimetres error) {
  constexpr std::size_t kFew = 64;  // corners that need no thinning out
  if (path.size() <= kFew && straight_throughout(path)) {
    Polygon polygon;
    for (const ArcVertex& vertex : path.vertices) polygon.push_back(vertex.at);
    return without_straight_corners(polygon);
  }
  // Where the lines of a coarse polygon cross each other a finer one is made.
  double tried = error.value();
  for (int attempt = 0; attempt < 4; ++attempt, tried *= 0.25) {
    const FineOutline fine = fine_points(path, 0.25 * tried);
    if (fine.at.size() < 3) break;
    const std::size_t start = sharpest(fine.at);
    const std::vector<OuterLine> lines = run_lines(fine, start, tried);
    if (lines.size() < 3) continue;
    Polygon polygon = without_straight_corners(met_lines(lines, fine, start, tried));
    if (polygon.size() < 3 || signed_area(polygon) < signed_area(path) - 1e-6) continue;
    if (!self_contact(polygon, tolerance::kRoot)) return polygon;
  }
  return Problem{Trouble::kGeometry, "no polygon can be drawn closely round the outline", {}, {}, {}};
}

Result<ClosedArcPath> grown_by_half(const ClosedArcPath& path, Millimetres gap) {
  if (gap.value() <= 0.0) return path;
  const Result<OffsetOutline> grown =
      offset(path, Millimetres(0.5 * gap.value()), {.corner = OffsetCorner::kRound, .fill_pockets = true});
  if (!grown) return grown.problem();
  return grown->path;
}

}  // namespace lastwright
