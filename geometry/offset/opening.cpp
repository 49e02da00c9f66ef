#include "geometry/offset/opening.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kDegree = std::numbers::pi / 180.0;  // in radians
// So far an outline turns on from one side of an opening to the other, and into its mouth.
constexpr double kFacing = 170.0 * kDegree;
constexpr double kIntoMouth = 20.0 * kDegree;

// One segment of the source between two feet, with the direction of the outline along it, counted on from
// part to part; to the left is above.
struct Lost {
  std::size_t segment;
  ArcSegment part;
  double from;
  double to;
};

// mm along a segment: so near to its end a foot counts as at it. A point may lie on the normal there, and
// where the winding rule traced the outline it is off by up to 1e-5 mm and rounding.
constexpr double kAtEnd = 1e-4;

// The parameter of the foot of a point.
double foot_on(const ArcSegment& s, Vec2 p) {
  const double t = s.nearest(p);
  if (t * s.length() <= kAtEnd) return 0.0;
  return (1.0 - t) * s.length() <= kAtEnd ? 1.0 : t;
}

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

// `start` and `end`: the directions of the outline before and after what is lost.
std::optional<Vec2> with_mouth(const std::vector<Lost>& lost, double start, double end) {
  const auto high_of = [](const Lost& l) { return std::max(l.from, l.to); };
  const auto low_of = [](const Lost& l) { return std::min(l.from, l.to); };
  std::size_t first = lost.size();
  for (std::size_t i = 0; i < lost.size() && first == lost.size(); ++i) {
    if (high_of(lost[i]) - start >= kIntoMouth) first = i;
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
    start_.push_back(0.0);
    const std::size_t n = source.size();
    std::vector<double> corner;
    for (std::size_t i = 0; i < n; ++i) {
      const ArcSegment here = source.segment(i);
      sweep_.push_back(here.sweep());
      corner.push_back(angle_between(here.end_tangent(), source.segment((i + 1) % n).start_tangent()));
    }
    for (std::size_t i = 0; i < 2 * n; ++i) start_.push_back(start_.back() + sweep_[i % n] + corner[i % n]);
  }

  [[nodiscard]] std::optional<Vec2> find() const {
    const std::size_t n = moved_.path.size();
    for (std::size_t j = 0; j < n; ++j) {
      const std::size_t a = moved_.source[(j + n - 1) % n].segment;
      const std::size_t b = moved_.source[j].segment;
      if (a == b || distances_[a].value() < 0.0 || distances_[b].value() < 0.0) continue;
      const bool in_order = nothing_between(a, b);
      const std::optional<Arrival> to = in_order ? Arrival{j, b} : past_what_crossed(j, a, b);
      if (!to) continue;
      Way way;
      const std::vector<Lost> lost =
          lost_between(a, to->segment, moved_.path.vertices[j].at, moved_.path.vertices[to->vertex].at, way);
      if (std::optional<Vec2> at = facing_sides(lost)) return at;
      if (std::optional<Vec2> at = with_mouth(lost, 0.0, way.end)) return at;
      if (way.into == 0.0 && way.out_of == 0.0) continue;
      const std::optional<Vec2> at = with_mouth(lost, -way.into, way.end + way.out_of);
      if (at && (!in_order || !mostly_there(lost))) return at;
    }
    return std::nullopt;
  }

 private:
  // No segment after `a` and before `b` is on the moved outline.
  [[nodiscard]] bool nothing_between(std::size_t a, std::size_t b) const {
    const std::size_t end = b > a ? b : b + source_.size();
    return before_[end] == before_[a + 1];
  }

  // Where the moved outline comes back to the order of the source, and on which segment.
  struct Arrival {
    std::size_t vertex;
    std::size_t segment;
  };

  // From `a` the moved outline goes on, at vertex `j`, along `b`, and something between them on the source
  // comes later: what the sides of an opening sweep has crossed over. The first arrival beyond all that came
  // in the wrong order, or nothing where nothing does.
  [[nodiscard]] std::optional<Arrival> past_what_crossed(std::size_t j, std::size_t a, std::size_t b) const {
    const std::ptrdiff_t first = places_on(a, b);
    if (first < 0) return std::nullopt;
    const std::size_t n = moved_.path.size();
    const auto all = static_cast<std::ptrdiff_t>(source_.size());
    std::ptrdiff_t place = first;
    std::ptrdiff_t farthest = first;
    bool crossed = false;
    std::optional<Arrival> arrival;
    for (std::size_t k = 1; k < n; ++k) {
      const std::size_t vertex = (j + k) % n;
      const std::size_t segment = moved_.source[vertex].segment;
      place += places_on(moved_.source[(vertex + n - 1) % n].segment, segment);
      if (place >= all) break;
      if (place > 0 && place < first) {
        crossed = true;
        arrival.reset();
      }
      if (crossed && !arrival && place >= farthest) arrival = Arrival{vertex, segment};
      farthest = std::max(farthest, place);
    }
    return arrival;
  }

  // How many segments of the source it is from one to another; below 0: back. Back when the way on would turn
  // by more than half a turn: no opening does.
  [[nodiscard]] std::ptrdiff_t places_on(std::size_t from, std::size_t to) const {
    const std::size_t n = source_.size();
    if (from == to) return 0;
    const std::size_t end = to > from ? to : to + n;
    const auto on = static_cast<std::ptrdiff_t>(end - from);
    const double turned = start_[end] - start_[from] - sweep_[from];
    return turned > std::numbers::pi ? on - static_cast<std::ptrdiff_t>(n) : on;
  }

  // Both sides are covered up to where they begin, but most of their length may show all the same: what is
  // cut out of a corner moves as a whole.
  [[nodiscard]] bool mostly_there(const std::vector<Lost>& lost) const {
    constexpr double kMost = 1.0 / 3.0;  // of the segments
    const std::size_t n = source_.size();
    const std::size_t first = lost.front().segment;
    double drawn = 0.0;
    for (const Lost& l : lost) drawn += l.part.length();
    double shown = 0.0;
    for (std::size_t j = 0; j < moved_.path.size(); ++j) {
      const OffsetSource& from = moved_.source[j];
      const bool of_it = (from.segment + n - first) % n < lost.size();
      if (of_it && !from.corner) shown += moved_.path.segment(j).length();
    }
    return shown >= kMost * drawn;
  }

  // Directions of the outline beside what is lost, 0 at its start: at its end; and what it turns by at the
  // vertices just before and after, where these are the ends of the sides.
  struct Way {
    double end = 0.0;
    double into = 0.0;
    double out_of = 0.0;
  };

  [[nodiscard]] std::vector<Lost> lost_between(std::size_t a, std::size_t b, Vec2 leaves, Vec2 meets,
                                               Way& way) const {
    const std::size_t n = source_.size();
    std::vector<Lost> lost;
    double direction = 0.0;
    Vec2 arrives;
    for (std::size_t i = a, end = b > a ? b : b + n; i <= end; ++i) {
      const ArcSegment whole = source_.segment(i % n);
      const double from = i == a ? foot_on(whole, leaves) : 0.0;
      const double to = i == end ? foot_on(whole, meets) : 1.0;
      if (i > a) direction += angle_between(arrives, whole.start_tangent());
      arrives = whole.end_tangent();
      // Exact: feet at an end are set to it.
      if (i == a && from == 0.0)
        way.into = angle_between(source_.segment((i + n - 1) % n).end_tangent(), whole.start_tangent());
      if (i == end && to == 1.0)
        way.out_of = angle_between(arrives, source_.segment((i + 1) % n).start_tangent());
      const double turned = sweep_[i % n] * (to - from);
      if (to > from)
        lost.push_back(
            {i % n, from == 0.0 && to == 1.0 ? whole : whole.part(from, to), direction, direction + turned});
      direction += turned;
    }
    way.end = direction;
    return lost;
  }

  const ClosedArcPath& source_;
  std::span<const Millimetres> distances_;
  const OffsetOutline& moved_;
  std::vector<std::size_t> before_;  // segments of the source, twice round, that are on the moved outline
  std::vector<double> sweep_;        // of each segment of the source
  std::vector<double> start_;        // direction of the source at the start of each segment, twice round
};

}  // namespace

std::optional<Vec2> closed_opening(const ClosedArcPath& source, std::span<const Millimetres> distances,
                                   const OffsetOutline& moved) {
  return Openings(source, distances, moved).find();
}

}  // namespace lastwright
