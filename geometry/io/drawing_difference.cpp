#include "geometry/io/drawing_difference.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/check/hausdorff.hpp"

namespace lastwright {

namespace {

std::optional<OpenArcPath> arcs_of(const DrawnPath& path) {
  OpenArcPath arcs;
  for (const Curve& curve : path.curves) {
    const std::optional<ArcSegment> segment = segment_of(curve);
    if (!segment) return {};
    arcs.vertices.push_back({segment->a, segment->bulge});
  }
  if (!path.curves.empty()) arcs.vertices.push_back({end_of(path.curves.back()), 0.0});
  return arcs;
}

bool same_kind(const DrawnFrom& one, const DrawnFrom& other) {
  return one.layer == other.layer && one.entity == other.entity;
}

}  // namespace

std::optional<double> difference_of(const Drawing& one, const Drawing& other) {
  if (one.paths.size() != other.paths.size() || one.circles.size() != other.circles.size() ||
      one.texts.size() != other.texts.size() || one.points.size() != other.points.size() ||
      one.left_out.size() != other.left_out.size())
    return {};
  double most = 0.0;
  for (std::size_t i = 0; i < one.paths.size(); ++i) {
    const DrawnPath& a = one.paths[i];
    const DrawnPath& b = other.paths[i];
    const std::optional<OpenArcPath> first = arcs_of(a);
    const std::optional<OpenArcPath> second = arcs_of(b);
    if (!first || !second || a.closed != b.closed || !same_kind(a.from, b.from)) return {};
    const HausdorffResult apart = hausdorff(MeasuredOutline(*first), MeasuredOutline(*second));
    most = std::max(most, apart.value + apart.precision);
  }
  for (std::size_t i = 0; i < one.circles.size(); ++i) {
    if (!same_kind(one.circles[i].from, other.circles[i].from)) return {};
    most = std::max({most, distance(one.circles[i].centre, other.circles[i].centre),
                     std::abs(one.circles[i].radius - other.circles[i].radius)});
  }
  for (std::size_t i = 0; i < one.texts.size(); ++i) {
    const DrawnText& a = one.texts[i];
    const DrawnText& b = other.texts[i];
    if (!same_kind(a.from, b.from) || a.text != b.text) return {};
    most = std::max({most, distance(a.at, b.at), std::abs(a.height - b.height)});
  }
  for (std::size_t i = 0; i < one.points.size(); ++i)
    most = std::max(most, distance(one.points[i].at, other.points[i].at));
  return most;
}

}  // namespace lastwright
