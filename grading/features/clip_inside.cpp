#include "grading/features/clip_inside.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "geometry/curve/biarc.hpp"
#include "geometry/curve/course.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

std::optional<OpenArcPath> clip_inside(const OpenArcPath& line, const ClosedArcPath& outline,
                                       const std::optional<Mirror>& fold) {
  const auto on_fold = [&](Vec2 p) { return fold && std::abs(fold->side(p)) <= tolerance::kMapped.value(); };
  const bool run_back = !on_fold(line.vertices.front().at);
  const bool run_on = !on_fold(line.vertices.back().at);
  // From inside, this far in any direction is outside.
  const Box2 whole = bounds(outline);
  const double reach = whole.width() + whole.height();
  OpenArcPath longer;
  if (run_back) {
    const Vec2 from = line.vertices.front().at;
    longer.vertices.push_back({from - reach * line.segment(0).start_tangent(), 0.0});
  }
  longer.vertices.insert(longer.vertices.end(), line.vertices.begin(), line.vertices.end());
  if (run_on) {
    longer.vertices.push_back(
        {line.vertices.back().at + reach * line.segment(line.size() - 1).end_tangent(), 0.0});
  }
  const Course course(longer);
  const double middle = (run_back ? reach : 0.0) + 0.5 * length(line);
  double first = 0.0;
  double last = course.length();
  std::vector<Box2> edges;
  edges.reserve(outline.size());
  for (std::size_t k = 0; k < outline.size(); ++k) edges.push_back(loose_bounds(outline.segment(k)));
  double reached = 0.0;
  for (std::size_t i = 0; i < longer.size(); ++i) {
    const ArcSegment segment = longer.segment(i);
    const double own = segment.length();
    const Box2 box = loose_bounds(segment);
    for (std::size_t k = 0; k < outline.size(); ++k) {
      if (!edges[k].overlaps(box)) continue;
      for (const Contact& contact : contacts(segment, outline.segment(k), tolerance::kNode.value())) {
        const double s = reached + contact.on_one * own;
        if (s <= middle) {
          first = std::max(first, s);
        } else {
          last = std::min(last, s);
        }
      }
    }
    reached += own;
  }
  if (!contains(outline, course.at(middle).at)) return std::nullopt;
  if (last - first <= tolerance::kShortestSegment.value()) return std::nullopt;
  return course.part(first, last);
}

OpenArcPath smooth_through(std::span<const Vec2> points) {
  OpenArcPath path;
  if (points.size() == 2) return {{{points[0], 0.0}, {points[1], 0.0}}};
  std::vector<Vec2> tangents(points.size());
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    // The tangent of the circle through three points: the chords' directions, weighed by the other's length.
    const Vec2 before = points[i] - points[i - 1];
    const Vec2 after = points[i + 1] - points[i];
    tangents[i] = unit(norm(after) * unit(before) + norm(before) * unit(after));
  }
  const auto reflected = [](Vec2 tangent, Vec2 chord) {
    const Vec2 along = unit(chord);
    return 2.0 * dot(tangent, along) * along - tangent;
  };
  tangents.front() = reflected(tangents[1], points[1] - points[0]);
  tangents.back() = reflected(tangents[points.size() - 2], points.back() - points[points.size() - 2]);
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const Biarc fit = biarc(points[i], tangents[i], points[i + 1], tangents[i + 1]);
    path.vertices.push_back({fit.first.a, fit.first.bulge});
    path.vertices.push_back({fit.second.a, fit.second.bulge});
  }
  path.vertices.push_back({points.back(), 0.0});
  return path;
}

}  // namespace lastwright
