#include "grading/features/clip_inside.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "geometry/curve/biarc.hpp"
#include "geometry/curve/course.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Lengths along the course at which it meets the outline, and a line across it, ascending, with its two ends.
std::vector<double> meetings(const OpenArcPath& line, const ClosedArcPath& outline,
                             const std::optional<ArcSegment>& across = std::nullopt) {
  std::vector<Box2> edges;
  edges.reserve(outline.size());
  for (std::size_t k = 0; k < outline.size(); ++k) edges.push_back(loose_bounds(outline.segment(k)));
  std::vector<double> met{0.0};
  double reached = 0.0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const ArcSegment segment = line.segment(i);
    const double own = segment.length();
    const Box2 box = loose_bounds(segment);
    for (std::size_t k = 0; k < outline.size(); ++k) {
      if (!edges[k].overlaps(box)) continue;
      for (const Contact& contact : contacts(segment, outline.segment(k), tolerance::kNode.value()))
        met.push_back(reached + contact.on_one * own);
    }
    if (across) {
      for (const Contact& contact : contacts(segment, *across, tolerance::kNode.value()))
        met.push_back(reached + contact.on_one * own);
    }
    reached += own;
  }
  met.push_back(reached);
  std::sort(met.begin(), met.end());
  return met;
}

}  // namespace

ClippedLine clip_inside(const OpenArcPath& line, const ClosedArcPath& outline,
                        const std::optional<Mirror>& fold, const ClipEnds& ends) {
  const auto on_fold = [&](Vec2 p) { return fold && std::abs(fold->side(p)) <= tolerance::kMapped.value(); };
  const bool run_back = ends.run_back && !on_fold(line.vertices.front().at);
  const bool run_on = ends.run_on && !on_fold(line.vertices.back().at);
  const bool half = ends.half && fold;
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
  const double shortest = tolerance::kShortestSegment.value();
  const double start = run_back ? reach : 0.0;
  const double end = start + length(line);
  ClippedLine clipped;
  double longest_outside = 0.0;
  const auto leave = [&](double from, double to) {
    const double own = std::min(to, end) - std::max(from, start);
    if (own <= longest_outside) return;
    longest_outside = own;
    clipped.outside_at = course.at(std::max(from, start) + 0.5 * own).at;
  };
  const auto keep = [&](double from, double to) {
    // What lies beyond the line's own ends only runs it on.
    const double own = std::min(to, end) - std::max(from, start);
    if (own <= 0.0 || to - from <= shortest) return;
    clipped.parts.push_back(course.part(from, to));
    clipped.outside -= own;
  };
  clipped.outside = end - start;
  std::optional<ArcSegment> across;
  if (half)
    across = ArcSegment{fold->on - 3.0 * reach * fold->along, fold->on + 3.0 * reach * fold->along, 0.0};
  std::vector<double> met = meetings(longer, outline, across);
  // Run on no farther than to the first meeting beyond its own ends, and not at all where it ends on the
  // outline: there it may go on along it.
  const double same = tolerance::kSamePoint.value();
  const auto first_after = std::lower_bound(met.begin(), met.end(), end - same);
  if (first_after != met.end()) met.erase(first_after + 1, met.end());
  const auto first_within = std::upper_bound(met.begin(), met.end(), start + same);
  if (first_within != met.begin()) met.erase(met.begin(), first_within - 1);
  bool within = false;
  double since = 0.0;  // where the stretch inside began
  for (std::size_t i = 0; i + 1 < met.size(); ++i) {
    if (met[i + 1] - met[i] <= tolerance::kSamePoint.value()) continue;  // one meeting, found twice
    const Vec2 between = course.at(0.5 * (met[i] + met[i + 1])).at;
    const bool inside = contains(outline, between) && (!half || fold->side(between) > 0.0);
    if (inside && !within) since = met[i];
    if (!inside && within) keep(since, met[i]);
    if (!inside) leave(met[i], met[i + 1]);
    within = inside;
  }
  if (within) keep(since, met.back());
  clipped.outside = std::max(0.0, clipped.outside);
  return clipped;
}

OpenArcPath ended_inside(const OpenArcPath& line, const ClosedArcPath& outline, double reach) {
  const Course course(line);
  const std::vector<double> met = meetings(line, outline);
  // An end on the outline meets it there and once more at no distance.
  const auto out_until = [&](auto first, auto last, auto off_end) {
    const double same = tolerance::kSamePoint.value();
    for (auto one = first; one != last; ++one) {
      if (off_end(*one) <= same) continue;
      const bool out = !contains(outline, course.at(0.5 * (*first + *one)).at);
      return out && off_end(*one) <= reach ? *one : *first;
    }
    return *first;
  };
  const double end = course.length();
  const double from = out_until(met.begin(), met.end(), [](double s) { return s; });
  const double to = out_until(met.rbegin(), met.rend(), [&](double s) { return end - s; });
  if (from == 0.0 && to == end) return line;
  return to - from > tolerance::kShortestSegment.value() ? course.part(from, to) : line;
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
