#include "geometry/offset/hollow.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// The line of the wider edge, run on: from its moved end, parallel to `ahead`.
struct RunLine {
  Vec2 corner;  // the vertex of the outline below `from`
  Vec2 from;
  Vec2 ahead;  // unit
  [[nodiscard]] double along(Vec2 p) const { return dot(p - corner, ahead); }
  [[nodiscard]] Vec2 at(double run) const { return from + run * ahead; }
};

// Where the line first crosses a segment.
void note_crossing(const ArcSegment& s, const RunLine& line, double& nearest) {
  const CarrierPoints points = carrier_points(s, {line.from, line.at(1.0), 0.0}, 0.0);
  for (std::size_t i = 0; i < points.count; ++i) {
    const Vec2 p = points.at[i];
    const double along = line.along(p);
    const bool on = s.faces(p) || distance(p, s.a) < kNoRun || distance(p, s.b) < kNoRun;
    if (on && along > kNoRun) nearest = std::min(nearest, along);
  }
}

// The part of a segment from its start on that leads onward along the line;
// nothing where it starts back. Arcs end where they come near to leading
// straight away from it: beside a square line they would lie too close.
std::optional<ArcSegment> onward(const ArcSegment& s, Vec2 ahead) {
  constexpr double kSteep = 1.48;  // radians: 85 degrees
  const double leaves = angle_between(ahead, s.start_tangent());
  if (dot(s.start_tangent(), ahead) <= 0.0) return std::nullopt;
  if (s.straight()) return s;
  const double sweep = s.sweep();
  if (std::abs(leaves + sweep) <= kSteep) return s;
  const double turn = std::copysign(kSteep, sweep) - leaves;
  if (turn * sweep <= 0.0) return std::nullopt;
  return s.part(0.0, std::min(1.0, turn / sweep));
}

// Where a segment that leads onward is `along` from the corner.
Vec2 point_over(const ArcSegment& s, const RunLine& line, double along) {
  if (line.along(s.b) <= along) return s.b;
  if (s.straight()) {
    const double from = line.along(s.a);
    return lerp(s.a, s.b, (along - from) / (line.along(s.b) - from));
  }
  const Vec2 on = line.at(along);
  const CarrierPoints points = carrier_points(s, {on, on + left_of(line.ahead), 0.0}, 0.0);
  for (std::size_t i = 0; i < points.count; ++i) {
    if (s.faces(points.at[i])) return points.at[i];
  }
  return s.point_at(s.nearest(on));
}

// mm: so far inside the outline the way back runs, to lie on none of its edges; and so far before the end of
// the outline below it a run stops.
constexpr double kInside = 1e-3;
constexpr double kBeforeEnd = 5e-3;

class HollowCorner {
 public:
  HollowCorner(const std::vector<MovedEdge>& edges, bool closed, std::size_t before, std::size_t after)
      : edges_(edges), closed_(closed), before_(before), after_(after) {
    wide_first_ = std::abs(edges[before].outward) > std::abs(edges[after].outward);
    const MovedEdge& wide = edges[wide_first_ ? before : after];
    line_.corner = edges[after].source.a;
    line_.from = wide_first_ ? wide.moved.b : wide.moved.a;
    line_.ahead = wide_first_ ? wide.arrives : -1.0 * wide.leaves;
  }

  // Both edges go to the same side, one farther.
  [[nodiscard]] bool uneven() const {
    const double in = edges_[before_].outward;
    const double out = edges_[after_].outward;
    return in != out && in * out >= 0.0;
  }

  // Whether the wider edge ends inside what the narrower one sweeps was told from their directions at the
  // corner. Where the narrower one bends on the way to the foot of that end, its distance and its direction
  // there say so, and how far to run on.
  void judge_by_foot(Join& join, double mitre_limit) const {
    const std::optional<Foot> foot = foot_of_end();
    if (!foot) return;
    const double wide = std::abs(edges_[wide_first_ ? before_ : after_].outward);
    const double narrow = std::abs(edges_[wide_first_ ? after_ : before_].outward);
    if (foot->off <= narrow + kNoRun) {
      join = Join{.kind = JoinKind::kInto, .steps = join.steps};
      return;
    }
    const double outward = edges_[wide_first_ ? before_ : after_].outward;
    const double side = (outward > 0.0) == wide_first_ ? -1.0 : 1.0;
    const double sine = side * cross(line_.ahead, foot->away);
    const double cosine = dot(line_.ahead, foot->away);
    // Where it bends towards that end what was told at the corner stands.
    if (cosine < dot(line_.ahead, foot->leaves)) return;
    join = Join{.kind = JoinKind::kHollow, .steps = join.steps};
    if (sine <= 0.0) return;
    join.widest = std::min({mitre_limit * mitre_limit * sine * wide, mitre_limit * wide,
                            2.0 * wide * std::max(0.0, cosine) / sine});
  }

  void run_on(Join& join) const {
    std::vector<ArcSegment> below;  // of the outline, away from the corner
    double crossing = std::numeric_limits<double>::infinity();
    double limit = join.steps ? 0.0 : std::min(join.widest, farthest());
    if (limit <= kNoRun) return step_down(join);
    double end = 0.0;
    for (std::optional<std::size_t> e = wide_first_ ? after_ : before_; e; e = beyond(*e)) {
      const MovedEdge& edge = edges_[*e];
      const std::optional<ArcSegment> part = onward(away(edge.source), line_.ahead);
      if (!part) break;
      note_crossing(*part, line_, crossing);
      if (edge.bent() > 1e-9) note_crossing(edge.moved, line_, crossing);
      below.push_back(*part);
      end = line_.along(part->b);
      const bool whole = distance(part->b, away(edge.source).b) < kNoRun;
      if (end >= std::min(limit, crossing) || !whole) break;
      // What joins this edge to the next is taken as straight.
      // Where it leans back over this edge, all of it is covered.
      if (const std::optional<std::size_t> next = beyond(*e)) {
        double jog = std::numeric_limits<double>::infinity();
        note_crossing({away(edge.moved).b, away(edges_[*next].moved).a, 0.0}, line_, jog);
        if (jog < end) limit = std::min(limit, end + kInside);
        crossing = std::min(crossing, std::max(jog, end + kInside));
      }
    }
    if (crossing <= std::min(limit, end)) {
      set(join, below, crossing, crossing + kInside);
    } else {
      const double run = std::min(limit, end - kBeforeEnd);
      set(join, below, run, run);
    }
  }

 private:
  // The wider edge ends where it ends.
  void step_down(Join& join) const {
    join.run_in = join.run_out = 0.0;
    join.way_back.push_back({line_.corner, 0.0});
    set_meeting(join, 0.0);
  }

  // A little more than the line of a straight edge runs on where the other turns by 30 degrees, where the
  // outline within that rises from the corner towards the line as steeply or more: there it meets the line.
  // By less where it rises less, and none below 11.5 degrees: the line would run beside the narrower edge and
  // not meet it. The narrower distance has no part in it, so that more on either edge covers what less
  // covers.
  [[nodiscard]] double farthest() const {
    constexpr double kTimes = 1.75;  // the wider distance; the cotangent of 30 degrees is 1.73
    constexpr double kNone = 0.2;    // sines
    constexpr double kWhole = 0.5;
    const double reach = kTimes * distance(line_.corner, line_.from);
    double steepest = 0.0;
    for (std::optional<std::size_t> e = wide_first_ ? after_ : before_; e; e = beyond(*e)) {
      const ArcSegment s = away(edges_[*e].source);
      if (distance(s.a, line_.corner) < kNoRun)
        steepest = std::max(steepest, rise(line_.corner + s.start_tangent()));
      // Where it has come back behind the corner it has risen above it, or is another part of the outline.
      if (line_.along(s.b) <= 0.0) {
        if (high(back_over_corner(s)) > 0.0) steepest = 1.0;
        break;
      }
      const bool whole = line_.along(s.b) <= reach;
      steepest = std::max(steepest, rise(whole ? s.b : point_over(s, line_, reach)));
      for (const Vec2 p : touched_from_corner(s)) {
        if (line_.along(p) <= reach && s.faces(p)) steepest = std::max(steepest, rise(p));
      }
      if (!whole) break;
    }
    return reach * std::clamp((steepest - kNone) / (kWhole - kNone), 0.0, 1.0);
  }

  // Above the corner, on the side of the line.
  [[nodiscard]] double high(Vec2 p) const { return dot(unit(line_.from - line_.corner), p - line_.corner); }
  // The sine of the angle at the corner between the line and a place, on the side of the line.
  [[nodiscard]] double rise(Vec2 p) const {
    const double above = high(p);
    if (above <= 0.0) return 0.0;
    return line_.along(p) <= 0.0 ? 1.0 : above / distance(p, line_.corner);
  }
  // Where a segment that ends behind the corner has come back over it; its start where it leads back at once.
  [[nodiscard]] Vec2 back_over_corner(const ArcSegment& s) const {
    if (line_.along(s.a) <= kNoRun) return s.point_at(0.5);
    double before = 0.0;
    double behind = 1.0;
    for (int i = 0; i < 60; ++i) {
      const double middle = 0.5 * (before + behind);
      (line_.along(s.point_at(middle)) > 0.0 ? before : behind) = middle;
    }
    return s.point_at(before);
  }
  // Where lines from the corner touch the circle of an arc that does not start there.
  [[nodiscard]] std::vector<Vec2> touched_from_corner(const ArcSegment& s) const {
    if (s.straight()) return {};
    const Vec2 centre = s.centre();
    const double radius = distance(centre, s.a);
    const double away_by = distance(centre, line_.corner);
    if (away_by <= radius + kNoRun) return {};
    const Vec2 back = unit(line_.corner - centre);
    const double cosine = radius / away_by;
    const double sine = std::sqrt(1.0 - cosine * cosine);
    return {centre + radius * (cosine * back + sine * left_of(back)),
            centre + radius * (cosine * back - sine * left_of(back))};
  }

  // Where the narrower edge comes nearest to the moved end of the wider one: how near, and the directions
  // there and at the corner, away from it.
  struct Foot {
    double off;
    Vec2 away;
    Vec2 leaves;
  };

  // On the narrower edge and all that goes on from it smoothly at its distance; nothing where that is
  // straight, or has its nearest point at an end.
  [[nodiscard]] std::optional<Foot> foot_of_end() const {
    const Vec2 end = line_.from;
    const double reach = 4.0 * distance(line_.corner, end);
    std::optional<Foot> best;
    double nearest = std::numeric_limits<double>::infinity();
    double walked = 0.0;
    const std::size_t first = wide_first_ ? after_ : before_;
    const Vec2 leaves = away(edges_[first].source).start_tangent();
    for (std::size_t e = first; walked < reach;) {
      const ArcSegment s = away(edges_[e].source);
      const double t = s.nearest(end);
      const Vec2 at = s.point_at(t);
      if (const double off = distance(at, end); off < nearest) {
        nearest = off;
        const bool bends = walked > 0.0 || !s.straight();
        const bool at_corner = walked == 0.0 && distance(at, s.a) < kNoRun;
        best.reset();
        if (bends && !at_corner) best = Foot{off, s.tangent_at(t), leaves};
      }
      walked += s.length();
      const std::optional<std::size_t> next = beyond(e);
      const bool on = next && edges_[*next].outward == edges_[e].outward &&
                      std::abs(angle_between(s.end_tangent(), away(edges_[*next].source).start_tangent())) <=
                          tolerance::kCorner.value();
      if (!on) {
        if (distance(at, s.b) < kNoRun) best.reset();
        break;
      }
      e = *next;
    }
    return best;
  }

  [[nodiscard]] ArcSegment away(const ArcSegment& s) const { return wide_first_ ? s : s.reversed(); }

  [[nodiscard]] std::optional<std::size_t> beyond(std::size_t e) const {
    const std::size_t n = edges_.size();
    const std::size_t next = wide_first_ ? (e + 1) % n : (e + n - 1) % n;
    if (next == (wide_first_ ? before_ : after_)) return std::nullopt;
    if (!closed_ && (wide_first_ ? next == 0 : e == 0)) return std::nullopt;
    return next;
  }

  // `reach`: so far the region goes for the winding rule; a run to a crossing goes a little beyond it.
  void set(Join& join, std::vector<ArcSegment>& below, double run, double reach) const {
    (wide_first_ ? join.run_in : join.run_out) = run;
    (wide_first_ ? join.run_out : join.run_in) = 0.0;
    while (below.size() > 1 && line_.along(below.back().a) >= reach) below.pop_back();
    if (below.empty() || run <= kNoRun) {
      join = Join{.kind = JoinKind::kInto};
      return;
    }
    ArcSegment& last = below.back();
    const Vec2 foot = point_over(last, line_, reach);
    last = last.straight() ? ArcSegment{last.a, foot, 0.0}
                           : arc_from_tangent(last.a, last.start_tangent(), foot);
    const std::vector<Vec2> inside = inside_of(below);
    if (wide_first_) {
      join.way_back.push_back({line_.at(reach), 0.0});
      join.way_back.push_back({inside.back(), 0.0});
      for (std::size_t i = below.size(); i-- > 0;) join.way_back.push_back({inside[i], -below[i].bulge});
      join.way_back.push_back({line_.corner, 0.0});
    } else {
      join.way_back.push_back({line_.corner, 0.0});
      join.way_back.push_back({inside.front(), 0.0});
      for (std::size_t i = 0; i < below.size(); ++i) join.way_back.push_back({inside[i + 1], below[i].bulge});
      join.way_back.push_back({line_.at(reach), 0.0});
    }
    set_meeting(join, run);
  }

  // The ends of a part of the outline, moved into it.
  [[nodiscard]] std::vector<Vec2> inside_of(const std::vector<ArcSegment>& part) const {
    std::vector<Vec2> points;
    const double left = wide_first_ ? kInside : -kInside;
    points.push_back(part.front().a + left * left_of(part.front().start_tangent()));
    for (std::size_t i = 1; i < part.size(); ++i) {
      const Vec2 along = unit(part[i - 1].end_tangent() + part[i].start_tangent());
      points.push_back(part[i].a + left * left_of(along));
    }
    points.push_back(part.back().b + kInside * unit(line_.corner - line_.from));
    return points;
  }

  // Where the run, or the step down from its end, meets the moved neighbour itself.
  void set_meeting(Join& join, double run) const {
    const MovedEdge& narrow = edges_[wide_first_ ? after_ : before_];
    const Vec2 tip = line_.at(run);
    if (narrow.bent() <= 1e-9) return;
    double crossing = 2.0 * run;
    note_crossing(narrow.moved, line_, crossing);
    if (run > kNoRun && std::abs(crossing - run) <= kNoRun) {
      join.meets = tip;
      return;
    }
    const Vec2 down = unit(line_.corner - line_.from);
    const double height = distance(line_.corner, line_.from);
    const CarrierPoints points = carrier_points(narrow.moved, {tip, tip + down, 0.0}, 0.0);
    for (std::size_t i = 0; i < points.count; ++i) {
      const double depth = dot(points.at[i] - tip, down);
      if (!narrow.moved.faces(points.at[i]) || depth <= kNoRun || depth > height) continue;
      if (!join.meets || depth < dot(*join.meets - tip, down)) join.meets = points.at[i];
    }
  }

  const std::vector<MovedEdge>& edges_;
  bool closed_;
  std::size_t before_;
  std::size_t after_;
  bool wide_first_;
  RunLine line_{};
};

}  // namespace

void run_on(const std::vector<MovedEdge>& edges, std::vector<Join>& joins, bool closed, double mitre_limit) {
  for (std::size_t i = 0; i < edges.size(); ++i) {
    if (joins[i].kind != JoinKind::kHollow && joins[i].kind != JoinKind::kInto) continue;
    const HollowCorner corner(edges, closed, i, i + 1 == edges.size() ? 0 : i + 1);
    if (corner.uneven()) corner.judge_by_foot(joins[i], mitre_limit);
    if (joins[i].kind == JoinKind::kHollow) corner.run_on(joins[i]);
  }
}

}  // namespace lastwright
