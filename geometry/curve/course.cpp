#include "geometry/curve/course.hpp"

#include <algorithm>
#include <utility>

#include "geometry/invariant.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

Course::Course(OpenArcPath path) : path_(std::move(path)) {
  invariant(path_.size() > 0, "a course has a segment");
  reached_.reserve(path_.size());
  double total = 0.0;
  for (std::size_t i = 0; i < path_.size(); ++i) reached_.push_back(total += path_.segment(i).length());
}

std::size_t Course::segment_at(double s) const {
  const auto found = std::lower_bound(reached_.begin(), reached_.end(), s);
  return std::min(static_cast<std::size_t>(found - reached_.begin()), path_.size() - 1);
}

Course::Station Course::at(double s) const {
  s = std::clamp(s, 0.0, length());
  const std::size_t i = segment_at(s);
  const ArcSegment segment = path_.segment(i);
  const double before = i == 0 ? 0.0 : reached_[i - 1];
  const double whole = reached_[i] - before;
  const double t = whole > 0.0 ? std::clamp((s - before) / whole, 0.0, 1.0) : 0.0;
  return {segment.point_at(t), segment.tangent_at(t)};
}

OpenArcPath Course::part(double from, double to) const {
  const double shortest = tolerance::kSamePoint.value();
  OpenArcPath part;
  for (std::size_t i = segment_at(from); i < path_.size(); ++i) {
    const double before = i == 0 ? 0.0 : reached_[i - 1];
    const double whole = reached_[i] - before;
    const double a = std::max(from, before);
    const double b = std::min(to, reached_[i]);
    if (b - a > shortest) {
      const ArcSegment segment = path_.segment(i);
      const bool all = a == before && b == reached_[i];
      const ArcSegment piece =
          all ? segment : segment.part((a - before) / whole, std::min(1.0, (b - before) / whole));
      if (!part.vertices.empty()) part.vertices.pop_back();
      part.vertices.push_back({piece.a, piece.bulge});
      part.vertices.push_back({piece.b, 0.0});
    }
    if (reached_[i] >= to) break;
  }
  return part;
}

}  // namespace lastwright
