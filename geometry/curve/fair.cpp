#include "geometry/curve/fair.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <variant>

#include "geometry/curve/arc_path.hpp"
#include "geometry/curve/biarc.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kLongestSpan = 64;  // vertices of one biarc: longer ones turn too far to be one

constexpr double kInOneLine = 1e-5;  // mm: a vertex this near to its chord is a rounded place on it
constexpr double kAsLong =
    1e-3;  // mm: chords that differ by less are as long, whatever a drawing is rounded to
constexpr double kAsTurned = 1e-3;  // radians: and turns that do

// The direction at the middle of three points: of the circle through them.
Vec2 middle_direction(Vec2 before, Vec2 at, Vec2 after) {
  const Vec2 in = at - before;
  const Vec2 out = after - at;
  // Weighted by the other chord's length: exact for points of a circle or a parabola.
  return unit(norm(out) * unit(in) + norm(in) * unit(out));
}

// The direction at an end, from the circle through the first three points.
Vec2 direction_at_end(Vec2 at, Vec2 next, Vec2 third) {
  const Vec2 chord = next - at;
  const Vec2 middle = middle_direction(at, next, third);
  // The circle leaves its chord by the angle at which it arrives.
  return unit(2.0 * dot(middle, unit(chord)) * unit(chord) - middle);
}

class RunFairer {
 public:
  // `points` are the vertices of a run; with `round` the first is the last too and the run is smooth there.
  RunFairer(std::vector<Vec2> points, bool round, const FairOptions& options)
      : points_(std::move(points)), options_(options) {
    const std::size_t n = points_.size();
    for (std::size_t i = 1; i + 1 < n; ++i)
      directions_.push_back(middle_direction(points_[i - 1], points_[i], points_[i + 1]));
    Vec2 first = direction_at_end(points_[0], points_[1], points_[2]);
    Vec2 last = -1.0 * direction_at_end(points_[n - 1], points_[n - 2], points_[n - 3]);
    if (round) first = last = middle_direction(points_[n - 2], points_[0], points_[1]);
    directions_.insert(directions_.begin(), first);
    directions_.push_back(last);
  }

  void into(Faired& out) {
    std::size_t from = 0;
    while (from + 1 < points_.size()) {
      std::size_t to = from + 1;
      std::size_t reach = 2;
      // Twice as far while it fits, then back: the spans are long, and trying is cheap.
      while (fits(from, from + reach)) {
        to = from + reach;
        reach *= 2;
      }
      for (std::size_t step = reach / 2; step > 0; step /= 2) {
        if (fits(from, to + step)) to += step;
      }
      put(from, to, out);
      from = to;
    }
  }

 private:
  [[nodiscard]] Biarc span(std::size_t from, std::size_t to) const {
    return biarc(points_[from], directions_[from], points_[to], directions_[to]);
  }
  [[nodiscard]] std::span<const Vec2> between(std::size_t from, std::size_t to) const {
    return std::span<const Vec2>(points_).subspan(from + 1, to - from - 1);
  }
  [[nodiscard]] bool fits(std::size_t from, std::size_t to) const {
    if (to >= points_.size() || to - from > kLongestSpan) return false;
    const Vec2 chord = unit(points_[to] - points_[from]);
    // A biarc of less than a half turn in all, or it may go round the wrong way.
    for (std::size_t i = from; i <= to; ++i) {
      if (dot(chord, directions_[i]) <= 0.2) return false;
    }
    return deviation(span(from, to), between(from, to)) <= options_.within.value();
  }
  void put(std::size_t from, std::size_t to, Faired& out) {
    const Biarc fit = span(from, to);
    out.worst = std::max(out.worst, deviation(fit, between(from, to)));
    for (const ArcSegment& arc : {fit.first, fit.second}) {
      if (arc.a == arc.b) continue;
      if (arc.straight()) {
        out.curves.emplace_back(Line{arc.a, arc.b});
      } else {
        out.curves.emplace_back(Arc{arc.a, arc.b, arc.bulge});
      }
      ++out.arcs;
    }
    out.chords += to - from;
  }

  std::vector<Vec2> points_;
  std::vector<Vec2> directions_;
  const FairOptions& options_;
};

class Fairer {
 public:
  Fairer(const std::vector<Curve>& curves, bool closed, const FairOptions& options)
      : drawn_(curves), options_(options), closed_(closed) {}

  Faired run() {
    join_straight();
    const std::size_t n = curves_.size();
    std::size_t start = 0;
    bool broken = false;  // somewhere a run ends
    for (std::size_t i = 0; i < n && closed_; ++i) {
      if (goes_on((i + n - 1) % n)) continue;
      start = i;
      broken = true;
      break;
    }
    std::vector<std::size_t> run;
    for (std::size_t k = 0; k < n; ++k) {
      const std::size_t i = (start + k) % n;
      run.push_back(i);
      if (k + 1 < n && goes_on(i)) continue;
      put(run, closed_ && !broken);
      run.clear();
    }
    return std::move(out_);
  }

 private:
  [[nodiscard]] const Line* line(std::size_t i) const { return std::get_if<Line>(&curves_[i]); }
  [[nodiscard]] double chord(std::size_t i) const { return distance(line(i)->a, line(i)->b); }

  // A vertex in the middle of a straight chord changes nothing: what it parts is taken for one. Where the
  // curves close the parts stay two, for the first curve stays the first.
  void join_straight() {
    std::size_t i = 0;
    while (i < drawn_.size()) {
      from_.push_back(i);
      std::size_t next = i + 1;
      if (const Line* first = std::get_if<Line>(&drawn_[i])) {
        while (next < drawn_.size() && in_one_line(i, next)) ++next;
        curves_.emplace_back(Line{first->a, end_of(drawn_[next - 1])});
      } else {
        curves_.push_back(drawn_[i]);
      }
      i = next;
    }
    from_.push_back(drawn_.size());
  }
  // Whether the lines from one to another, both among them, go straight on.
  [[nodiscard]] bool in_one_line(std::size_t first, std::size_t last) const {
    constexpr std::size_t kMostJoined = 64;
    const Line* one = std::get_if<Line>(&drawn_[first]);
    const Line* other = std::get_if<Line>(&drawn_[last]);
    if (options_.ends && options_.ends(end_of(drawn_[last - 1]))) return false;
    if (one == nullptr || other == nullptr || last - first > kMostJoined) return false;
    const Vec2 whole = other->b - one->a;
    const double length = norm(whole);
    if (length <= 0.0) return false;
    double reached = 0.0;
    for (std::size_t i = first; i < last; ++i) {
      const Vec2 to = end_of(drawn_[i]) - one->a;
      const double along = dot(to, whole) / length;
      if (along <= reached || along >= length || std::abs(cross(whole, to)) / length > kInOneLine)
        return false;
      reached = along;
    }
    return true;
  }

  // Whether a curve and the one that follows are chords of one smooth curve.
  [[nodiscard]] bool goes_on(std::size_t i) const {
    const std::size_t n = curves_.size();
    const std::size_t next = (i + 1) % n;
    if (line(i) == nullptr || line(next) == nullptr || n < 2) return false;
    if (std::abs(angle_between(line(i)->b - line(i)->a, line(next)->b - line(next)->a)) >
        options_.corner.value())
      return false;
    if (options_.ends && options_.ends(line(i)->b)) return false;
    return !meant_straight(i) && !meant_straight(next);
  }

  // Far longer than the chords beside it.
  [[nodiscard]] bool meant_straight(std::size_t i) const {
    const std::size_t n = curves_.size();
    double beside = 0.0;
    for (const std::size_t other : {(i + n - 1) % n, (i + 1) % n}) {
      if (line(other) != nullptr) beside = std::max(beside, chord(other));
    }
    return chord(i) > options_.straight * beside;
  }

  void put(const std::vector<std::size_t>& run, bool round) {
    std::size_t drawn = 0;
    for (const std::size_t i : run) drawn += from_[i + 1] - from_[i];
    if (run.size() < options_.fewest && drawn >= options_.fewest) {
      for (const std::size_t i : run) out_.curves.push_back(curves_[i]);
      out_.chords += drawn;
      out_.arcs += run.size();
      return;
    }
    if (run.size() < options_.fewest) {
      for (const std::size_t i : run)
        out_.curves.insert(out_.curves.end(), drawn_.begin() + static_cast<std::ptrdiff_t>(from_[i]),
                           drawn_.begin() + static_cast<std::ptrdiff_t>(from_[i + 1]));
      return;
    }
    std::vector<Vec2> points{line(run.front())->a};
    for (const std::size_t i : run) points.push_back(line(i)->b);
    // Two pieces share a curve that each walks its own way, and a sheet may be turned or mirrored: the arcs
    // must not depend on that.
    if (round) rotate_to_first(points);
    const bool backwards = starts_at_end(points, round);
    if (backwards) std::reverse(points.begin(), points.end());
    Faired part;
    RunFairer(std::move(points), round, options_).into(part);
    if (backwards) {
      std::reverse(part.curves.begin(), part.curves.end());
      for (Curve& curve : part.curves) curve = reversed(curve);
    }
    out_.curves.insert(out_.curves.end(), part.curves.begin(), part.curves.end());
    out_.chords += drawn;
    out_.arcs += part.arcs;
    out_.worst = std::max(out_.worst, part.worst);
  }

  static bool before(Vec2 a, Vec2 b) { return a.x != b.x ? a.x < b.x : a.y < b.y; }
  // A run starts at the end with the shorter chord, or the first that is shorter counted from there; where
  // they are alike, at the point that is first by its place.
  static bool starts_at_end(const std::vector<Vec2>& points, bool round) {
    const std::size_t n = points.size();
    for (std::size_t i = 0; 2 * i + 2 < n; ++i) {
      const double from_start = distance(points[i], points[i + 1]);
      const double from_end = distance(points[n - 1 - i], points[n - 2 - i]);
      if (std::abs(from_start - from_end) > kAsLong) return from_end < from_start;
    }
    return round ? before(points[n - 2], points[1]) : before(points.back(), points.front());
  }
  // A closed run starts where it turns most; where several points do so, at the first by its place.
  static void rotate_to_first(std::vector<Vec2>& points) {
    points.pop_back();
    const std::size_t n = points.size();
    std::vector<double> turn(n);
    for (std::size_t i = 0; i < n; ++i)
      turn[i] = std::abs(angle_between(points[i] - points[(i + n - 1) % n], points[(i + 1) % n] - points[i]));
    const auto most = std::max_element(turn.begin(), turn.end());
    const bool alone =
        std::count_if(turn.begin(), turn.end(), [&](double one) { return one > *most - kAsTurned; }) == 1;
    const auto first = alone ? points.begin() + (most - turn.begin())
                             : std::min_element(points.begin(), points.end(), before);
    std::rotate(points.begin(), first, points.end());
    points.push_back(points.front());
  }

  const std::vector<Curve>& drawn_;
  std::vector<Curve> curves_;  // chords that lie in one line as one
  std::vector<std::size_t>
      from_;  // of each of these its first among those drawn; behind the last their number
  const FairOptions& options_;
  bool closed_;
  Faired out_;
};

}  // namespace

Faired fair(const std::vector<Curve>& curves, bool closed, const FairOptions& options) {
  return Fairer(curves, closed, options).run();
}

}  // namespace lastwright
