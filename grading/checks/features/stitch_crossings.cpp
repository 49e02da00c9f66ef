#include "grading/checks/features/stitch_crossings.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/check/close_pairs.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// A stitch line with where its segments lie along it.
struct StitchLine {
  const Footprint* line;
  std::vector<double> starts;  // mm, of each segment; last: the whole length

  explicit StitchLine(const Footprint& one) : line(&one), starts{0.0} {
    for (std::size_t i = 0; i < one.size(); ++i) starts.push_back(starts.back() + one.segment(i).length());
  }
  [[nodiscard]] double length() const { return starts.back(); }
  // Precondition: 0 <= along <= length().
  [[nodiscard]] Vec2 point(double along) const {
    const auto after = std::upper_bound(starts.begin() + 1, starts.end() - 1, along);
    const auto i = static_cast<std::size_t>(after - starts.begin()) - 1;
    const double length = starts[i + 1] - starts[i];
    return line->segment(i).point_at(length > 0.0 ? (along - starts[i]) / length : 0.0);
  }
};

void cross_at(const StitchLine& one, std::size_t i, const StitchLine& other, std::size_t k,
              std::vector<StitchCrossing>& found) {
  constexpr double kRunsOn = 15.0;  // mm; `stitch distance` tells a row that is more than 12 mm from its edge
  constexpr double kClear = 1.0;    // mm before and after: what only touches is on one side then
  constexpr double kAside = 0.1;    // mm from the other line there
  const ArcSegment first = one.line->segment(i);
  const ArcSegment second = other.line->segment(k);
  for (const Contact& met : contacts(first, second, tolerance::kSamePoint.value())) {
    const double s = one.starts[i] + met.on_one * first.length();
    const double t = other.starts[k] + met.on_two * second.length();
    const double runs_on = std::min({s, one.length() - s, t, other.length() - t});
    if (runs_on < kRunsOn) continue;
    const Vec2 way = unit(other.point(t + kClear) - other.point(t - kClear));
    const double before = cross(way, one.point(s - kClear) - met.at);
    const double after = cross(way, one.point(s + kClear) - met.at);
    if (before * after >= 0.0 || std::min(std::abs(before), std::abs(after)) < kAside) continue;
    found.push_back({one.line->feature(), other.line->feature(), runs_on, met.at});
  }
}

}  // namespace

std::vector<StitchCrossing> stitch_crossings(const std::vector<Footprint>& all, std::uint16_t drawn) {
  struct Part {
    std::size_t line;
    std::size_t segment;
  };
  std::vector<StitchLine> lines;
  std::vector<Part> parts;
  std::vector<Box2> boxes;
  for (const Footprint& one : all) {
    if (one.kind() != FootprintKind::kStitch || one.path() == nullptr) continue;
    for (std::size_t i = 0; i < one.size(); ++i) {
      parts.push_back({lines.size(), i});
      boxes.push_back(loose_bounds(one.segment(i)));
    }
    lines.emplace_back(one);
  }
  std::vector<StitchCrossing> found;
  if (lines.size() < 2) return found;
  for_overlapping(boxes, [&](std::size_t i, std::size_t k) {
    const StitchLine& one = lines[parts[i].line];
    const StitchLine& other = lines[parts[k].line];
    const bool one_feature = one.line->feature() == other.line->feature() && one.line->feature() != drawn;
    if (parts[i].line != parts[k].line && !one_feature)
      cross_at(one, parts[i].segment, other, parts[k].segment, found);
  });
  return found;
}

}  // namespace lastwright
