#include "grading/features/skive_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/curve/course.hpp"
#include "geometry/curve/path_station.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

class Band {
 public:
  Band(const OpenArcPath& line, double width, const BandGround& ground)
      : line_(line), width_(width), ground_(ground) {
    ends_.half = ground.fold && !ground.through;
  }

  Result<ClippedLine> make() {
    ClippedLine usual = clip_inside(line_, ground_.outline, ground_.fold, ends_);
    if (usual.parts.empty()) return usual;
    const bool back = runs_near(line_.vertices.front().at, usual.parts.front(), false);
    const bool on = runs_near(line_.vertices.back().at, usual.parts.back(), true);
    if (back && on) return usual;
    ends_.run_back = back;
    ends_.run_on = on;
    ClippedLine squared = clip_inside(ended_square(!back, !on), ground_.outline, ground_.fold, ends_);
    squared.squared = true;
    for (const OpenArcPath& part : squared.parts) {
      for (const Vec2 end : {part.vertices.front().at, part.vertices.back().at}) {
        if (on_fold(end)) continue;
        if (!near(end) || distance_to(ground_.outline, end) > tolerance::kMapped.value())
          return Problem{Trouble::kGeometry,
                         fmt::format("the band has no end: its line cannot reach the cut line near its own "
                                     "edge, at ({:.2f}, {:.2f})",
                                     end.x, end.y),
                         {},
                         distance_to(ground_.cut_edge, end),
                         kBandRunsOn * width_};
      }
    }
    return squared;
  }

 private:
  // Whether a place lies near enough to the cut edge.
  [[nodiscard]] bool near(Vec2 p) const {
    const double off = distance_to(ground_.cut_edge, p) - tolerance::kMapped.value();
    if (off <= kBandRunsOn * width_) return true;
    // On the finished edge, where the band is as wide as its allowance, it is in no allowance.
    return off <= kBandRunsOn * ground_.widest && !contains(ground_.finished, p) &&
           distance_to(ground_.finished, p) > tolerance::kMapped.value();
  }
  [[nodiscard]] bool on_fold(Vec2 p) const {
    return ground_.fold && std::abs(ground_.fold->side(p)) <= tolerance::kMapped.value();
  }

  // Whether what the line runs on along, from its own end to that of a part, stays near its cut edge and on
  // its half. A line whose end lies outside does not run on.
  [[nodiscard]] bool runs_near(Vec2 end, const OpenArcPath& part, bool last) const {
    const Vec2 reached = last ? part.vertices.back().at : part.vertices.front().at;
    if (on_fold(end) || distance_to(part, end) > tolerance::kSamePoint.value()) return true;
    if (ground_.fold && ground_.fold->side(end) * ground_.fold->side(reached) < 0.0 && !on_fold(reached))
      return false;
    const double step = 0.1 * width_;
    const double whole = distance(end, reached);
    const auto places = static_cast<int>(std::ceil(whole / step));
    for (int i = 1; i <= places; ++i) {
      const Vec2 p = lerp(end, reached, static_cast<double>(i) / places);
      if (!near(p)) return false;
    }
    return true;
  }

  // The line up to where the ends of its cut edge lie beside it, and from there straight to them.
  [[nodiscard]] OpenArcPath ended_square(bool first, bool last) const {
    OpenArcPath longer = line_;
    const double reach =
        2.0 * kBandRunsOn * width_;  // beyond its ends, where a corner of the cut edge may lie
    if (first) {
      const ArcSegment segment = line_.segment(0);
      longer.vertices.insert(longer.vertices.begin(), {segment.a - reach * segment.start_tangent(), 0.0});
    }
    if (last) {
      const ArcSegment segment = line_.segment(line_.size() - 1);
      longer.vertices.push_back({segment.b + reach * segment.end_tangent(), 0.0});
    }
    const Vec2 start = ground_.cut_edge.vertices.front().at;
    const Vec2 end = ground_.cut_edge.vertices.back().at;
    const Course course(longer);
    const double from = first ? nearest_station(longer, start).along : 0.0;
    const double to = last ? nearest_station(longer, end).along : course.length();
    if (!(to - from > tolerance::kShortestSegment.value())) return line_;
    OpenArcPath line = course.part(from, to);
    const auto apart = [](Vec2 a, Vec2 b) { return distance(a, b) > tolerance::kShortestSegment.value(); };
    if (first && apart(start, line.vertices.front().at))
      line.vertices.insert(line.vertices.begin(), {start, 0.0});
    if (last && apart(end, line.vertices.back().at)) line.vertices.push_back({end, 0.0});
    return line;
  }

  const OpenArcPath& line_;
  double width_;
  const BandGround& ground_;
  ClipEnds ends_;
};

}  // namespace

Result<ClippedLine> skive_line(const OpenArcPath& line, double width, const BandGround& ground) {
  return Band(line, width, ground).make();
}

SheetText skive_label(const Course& line, const SkiveWork& work, double share,
                      const std::function<Vec2(const Course::Station&)>& direction) {
  constexpr double kHeight = 2.0;  // mm of a capital
  constexpr double kClear = 0.8;
  constexpr double kFromEdge = 2.2;  // letters stand in a straight row, edges bend
  constexpr double kLetter = 0.65;   // mean width of a letter over its height
  constexpr double kLean = 0.09;     // radians, 5 degrees
  std::string text = fmt::format("skive {:g} x {:g}", work.width.value(), work.depth.value());
  const Course::Station middle = line.at(share * line.length());
  const Vec2 along = direction(middle);
  const bool flipped = dot(along, turned({1.0, 0.0}, kLean)) < 0.0;
  const Vec2 reading = flipped ? -along : along;
  const Vec2 inner = left_of(along);
  const double width = kLetter * kHeight * static_cast<double>(text.size());
  const double outer = std::max(
      kClear, work.width.value() - kFromEdge);  // from the line to the foot or the head of the letters
  const Vec2 start = middle.at - (flipped ? outer - kHeight : outer) * inner - 0.5 * width * reading;
  return {start, kHeight, Radians(std::atan2(reading.y, reading.x)), std::move(text), Operation::kSkive};
}

}  // namespace lastwright
