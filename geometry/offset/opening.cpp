#include "geometry/offset/opening.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kDegree = std::numbers::pi / 180.0;
constexpr double kFacing = 170.0 * kDegree;
constexpr double kIntoMouth = 20.0 * kDegree;

// One segment of the source between two feet, with the direction of the outline along it, counted on from
// part to part; to the left is above.
struct Lost {
  ArcSegment part;
  double from;
  double to;
};

double depth_of(const std::vector<Lost>& lost, std::size_t first, std::size_t last) {
  const ArcSegment mouth{lost[first].part.a, lost[last].part.b, 0.0};
  const auto off = [&](Vec2 p) { return mouth.chord() > 0.0 ? mouth.distance_to(p) : distance(mouth.a, p); };
  double depth = 0.0;
  for (std::size_t i = first; i <= last; ++i)
    depth = std::max({depth, off(lost[i].part.a), off(lost[i].part.point_at(0.5)), off(lost[i].part.b)});
  return depth;
}

Vec2 deepest(const std::vector<Lost>& lost, std::size_t first, std::size_t last) {
  const ArcSegment mouth{lost[first].part.a, lost[last].part.b, 0.0};
  Vec2 best = lost[first].part.b;
  for (std::size_t i = first; i <= last; ++i) {
    for (const Vec2 p : {lost[i].part.point_at(0.5), lost[i].part.b}) {
      if (distance(p, lerp(mouth.a, mouth.b, 0.5)) > distance(best, lerp(mouth.a, mouth.b, 0.5))) best = p;
    }
  }
  return best;
}

std::optional<Vec2> facing_sides(const std::vector<Lost>& lost) {
  for (std::size_t last = 0; last < lost.size(); ++last) {
    const double low = std::min(lost[last].from, lost[last].to);
    std::size_t first = 0;
    while (first <= last && std::max(lost[first].from, lost[first].to) - low < kFacing) ++first;
    if (first > last) continue;
    if (depth_of(lost, first, last) >= tolerance::kOpening.value()) return deepest(lost, first, last);
  }
  return std::nullopt;
}

// `end`: the direction of the outline where what is lost ends; it is 0 where that starts.
std::optional<Vec2> with_mouth(const std::vector<Lost>& lost, double end) {
  const auto high_of = [](const Lost& l) { return std::max(l.from, l.to); };
  const auto low_of = [](const Lost& l) { return std::min(l.from, l.to); };
  std::size_t first = lost.size();
  for (std::size_t i = 0; i < lost.size() && first == lost.size(); ++i) {
    if (high_of(lost[i]) >= kIntoMouth) first = i;
  }
  std::size_t last = lost.size();
  for (std::size_t i = lost.size(); i-- > 0 && last == lost.size();) {
    if (end - low_of(lost[i]) >= kIntoMouth) last = i;
  }
  if (first == lost.size() || last == lost.size() || first > last) return std::nullopt;
  if (depth_of(lost, first, last) < tolerance::kOpening.value()) return std::nullopt;
  return deepest(lost, first, last);
}

class Openings {
 public:
  Openings(const ClosedArcPath& source, std::span<const Millimetres> distances, const OffsetOutline& moved)
      : source_(source), distances_(distances), moved_(moved), before_(2 * source.size() + 1, 0) {
    std::vector<bool> present(source.size(), false);
    for (const OffsetSource& from : moved.source) present[from.segment] = true;
    for (std::size_t i = 0; i < 2 * source.size(); ++i)
      before_[i + 1] = before_[i] + (present[i % source.size()] ? 1 : 0);
  }

  [[nodiscard]] std::optional<Vec2> find() const {
    const std::size_t n = moved_.path.size();
    for (std::size_t j = 0; j < n; ++j) {
      const std::size_t a = moved_.source[(j + n - 1) % n].segment;
      const std::size_t b = moved_.source[j].segment;
      if (a == b || distances_[a].value() < 0.0 || distances_[b].value() < 0.0) continue;
      if (!nothing_between(a, b)) continue;
      double end = 0.0;
      const std::vector<Lost> lost = lost_between(a, b, moved_.path.vertices[j].at, end);
      if (std::optional<Vec2> at = facing_sides(lost)) return at;
      if (std::optional<Vec2> at = with_mouth(lost, end)) return at;
    }
    return std::nullopt;
  }

 private:
  // No segment after `a` and before `b` is on the moved outline.
  [[nodiscard]] bool nothing_between(std::size_t a, std::size_t b) const {
    const std::size_t end = b > a ? b : b + source_.size();
    return before_[end] == before_[a + 1];
  }

  [[nodiscard]] std::vector<Lost> lost_between(std::size_t a, std::size_t b, Vec2 at,
                                               double& direction) const {
    const std::size_t n = source_.size();
    std::vector<Lost> lost;
    direction = 0.0;
    Vec2 arrives;
    for (std::size_t i = a, end = b > a ? b : b + n; i <= end; ++i) {
      const ArcSegment whole = source_.segment(i % n);
      const double from = i == a ? whole.nearest(at) : 0.0;
      const double to = i == end ? whole.nearest(at) : 1.0;
      if (i > a) direction += angle_between(arrives, whole.start_tangent());
      arrives = whole.end_tangent();
      const double turned = whole.sweep() * (to - from);
      if (to > from)
        lost.push_back(
            {from == 0.0 && to == 1.0 ? whole : whole.part(from, to), direction, direction + turned});
      direction += turned;
    }
    return lost;
  }

  const ClosedArcPath& source_;
  std::span<const Millimetres> distances_;
  const OffsetOutline& moved_;
  std::vector<std::size_t> before_;  // segments of the source, twice round, that are on the moved outline
};

}  // namespace

std::optional<Vec2> closed_opening(const ClosedArcPath& source, std::span<const Millimetres> distances,
                                   const OffsetOutline& moved) {
  return Openings(source, distances, moved).find();
}

}  // namespace lastwright
