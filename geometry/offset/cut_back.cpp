#include "geometry/offset/cut_back.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/intersect.hpp"
#include "geometry/offset/room.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// How many times the run along the tangents the crossing may be away, along either edge.
constexpr double kFar = 4.0;

struct Ray {
  Vec2 from;
  Vec2 ahead;
  double reach;
};

// The first crossing with the ray on the way along a segment; one at the very end belongs to the next.
std::optional<Vec2> first_crossing(const ArcSegment& s, const Ray& ray) {
  const CarrierPoints points = carrier_points(s, {ray.from, ray.from + ray.ahead, 0.0}, 0.0);
  std::optional<Vec2> first;
  for (std::size_t i = 0; i < points.count; ++i) {
    const Vec2 p = points.at[i];
    const double along = dot(p - ray.from, ray.ahead);
    if (along < -kNoRun || along > ray.reach || distance(p, s.b) < kNoRun) continue;
    if (!s.faces(p) && distance(p, s.a) > kNoRun) continue;
    if (!first || s.nearest(p) < s.nearest(*first)) first = p;
  }
  return first;
}

class Cutter {
 public:
  Cutter(std::vector<MovedEdge>& edges, std::vector<Join>& joins, const OffsetOptions& options)
      : edges_(edges), joins_(joins), mitre_limit_(options.mitre_limit), gone_(edges.size(), false) {
    const std::size_t n = edges.size();
    rooms_.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
      if (concerns(joins[i])) rooms_[i] = room_at(edges, i, (i + 1) % n, options);
    }
  }

  void run() {
    for (std::size_t i = 0; i < edges_.size(); ++i) {
      if (gone_[i] || !concerns(joins_[i])) continue;
      make(i);
    }
    if (!any_gone_) return;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < edges_.size(); ++i) {
      if (gone_[i]) continue;
      edges_[kept] = edges_[i];
      joins_[kept++] = joins_[i];
    }
    edges_.resize(kept);
    joins_.resize(kept);
  }

 private:
  // Both edges of the corner after edge `i` as it asks, or none of them.
  void make(std::size_t i) {
    const Join asked = joins_[i];
    const std::size_t next = beyond(i, false);
    const bool in = short_of(edges_[i], asked.run_in);
    const bool out = short_of(edges_[next], asked.run_out);
    if (!in && !out) return;
    const std::vector<MovedEdge> edges = edges_;
    const std::vector<Join> joins = joins_;
    const std::vector<bool> gone = gone_;
    std::size_t last = i;
    if ((!in || cut(last, next, true, rooms_[i].in)) && (!out || cut(last, next, false, rooms_[i].out)))
      return;
    edges_ = edges;
    joins_ = joins;
    gone_ = gone;
    in_full(i, next);
  }

  // A mitre or square without a cut of its own needs one run forward; a step stands on the corner itself.
  static bool concerns(const Join& join) {
    if (join.kind != JoinKind::kApart || join.bulge != 0.0) return false;
    return join.via_count > 0 || std::max(join.run_in, join.run_out) >= 0.0;
  }

  static bool short_of(const MovedEdge& edge, double run) {
    return run < -kNoRun && (!edge.moved.straight() || -run > edge.moved.chord());
  }

  void in_full(std::size_t i, std::size_t k) {
    const MovedEdge& before = edges_[i];
    const MovedEdge& after = edges_[k];
    joins_[i] = join_at({after.source.a, before.arrives, after.leaves, before.outward, after.outward},
                        OffsetCorner::kFull, mitre_limit_);
  }

  // The edge after `i`, or before it when going back.
  [[nodiscard]] std::size_t beyond(std::size_t i, bool back) const {
    const std::size_t n = edges_.size();
    do {
      i = back ? (i + n - 1) % n : (i + 1) % n;
    } while (gone_[i]);
    return i;
  }

  // Along a line, from where the other edge is run on, and by how much it then is.
  struct Line {
    Ray ray;
    double other_run;
  };

  // Cuts edge `i` and those before it when going back, edge `k` and those after it otherwise, over no more
  // than `room`; false: it cannot be done. `i` becomes the edge the join follows then.
  // All segments below are taken in the direction away from the corner.
  bool cut(std::size_t& i, std::size_t k, bool back, double room) {
    const Join join = joins_[i];
    const std::size_t other = back ? k : i;
    const Line line = line_of(i, k, back);
    Ray ray = line.ray;
    // What the other edge must run on by to end at a point of the line.
    const Vec2 other_end = back ? edges_[k].moved.a : edges_[i].moved.b;
    const bool own_line = ray.from == other_end;
    const auto run_to = [&](Vec2 p) { return own_line ? distance(other_end, p) : line.other_run; };
    double walked = 0.0;
    for (std::size_t e = back ? i : k; walked <= room + tolerance::kSamePoint.value();) {
      const ArcSegment m = back ? edges_[e].moved.reversed() : edges_[e].moved;
      // The line must not run through the piece itself.
      const ArcSegment& source = edges_[e].source;
      if (const std::optional<Vec2> p = first_crossing(back ? source.reversed() : source, ray)) {
        const double along = dot(*p - ray.from, ray.ahead);
        if (along > tolerance::kSamePoint.value()) ray.reach = std::min(ray.reach, along);
      }
      if (edges_[e].bent() > 1e-9) {
        if (const std::optional<Vec2> p = first_crossing(m, ray)) {
          if (walked + m.nearest(*p) * m.length() > room + tolerance::kSamePoint.value()) return false;
          const ArcSegment rest = with_end(m.reversed(), *p);
          edges_[e].moved = back ? rest : rest.reversed();
          i = finish(i, k, e, back, 0.0, run_to(*p));
          return true;
        }
      }
      walked += m.length();
      const std::size_t f = beyond(e, back);
      if (f == other || edges_[f].outward != edges_[e].outward) return false;
      Join& link = joins_[back ? f : e];
      if (link.kind == JoinKind::kHollow || link.via_count > 0 || link.bulge != 0.0) return false;
      if (link.kind == JoinKind::kApart) {
        if (link.run_in <= 0.0 || link.run_out <= 0.0) return false;
        const Vec2 tip = back ? m.b - link.run_out * edges_[e].leaves : m.b + link.run_in * edges_[e].arrives;
        if (const std::optional<Vec2> p = first_crossing({m.b, tip, 0.0}, ray)) {
          // Of this edge only its run is left.
          edges_[e].from.corner = edges_[e].from.corner || !m.straight();
          edges_[e].moved = back ? ArcSegment{tip, *p, 0.0} : ArcSegment{*p, tip, 0.0};
          edges_[e].curvature = 0.0;
          (back ? edges_[e].arrives : edges_[e].leaves) = back ? edges_[e].leaves : edges_[e].arrives;
          (back ? link.run_out : link.run_in) = 0.0;
          i = finish(i, k, e, back, 0.0, run_to(*p));
          return true;
        }
        const Vec2 end = back ? edges_[f].moved.b : edges_[f].moved.a;
        if (const std::optional<Vec2> p = first_crossing({tip, end, 0.0}, ray)) {
          i = finish(i, k, f, back, distance(end, *p), run_to(*p));
          return true;
        }
      }
      e = f;
    }
    return false;
  }

  [[nodiscard]] Line line_of(std::size_t i, std::size_t k, bool back) const {
    const Join& join = joins_[i];
    const MovedEdge& other = edges_[back ? k : i];
    const Vec2 end = back ? other.moved.a : other.moved.b;
    const Vec2 ahead = back ? -1.0 * other.leaves : other.arrives;
    const double run = back ? join.run_out : join.run_in;
    // Where the edge to be cut would end if it were straight.
    const Vec2 asked = back ? edges_[i].moved.b + join.run_in * edges_[i].arrives
                            : edges_[k].moved.a - join.run_out * edges_[k].leaves;
    const double reach = kFar * (std::abs(back ? join.run_in : join.run_out) + distance(end, asked));
    const Vec2 from = join.via_count > 0 ? join.via[0].at : end + run * ahead;
    if (distance(from, asked) > tolerance::kSamePoint.value())
      return {{from, unit(asked - from), reach}, run};
    return {{end, ahead, reach}, run};
  }

  std::size_t finish(std::size_t i, std::size_t k, std::size_t e, bool back, double run, double other_run) {
    Join join = joins_[i];
    (back ? join.run_in : join.run_out) = run;
    join.cut = true;
    if (join.via_count == 0) (back ? join.run_out : join.run_in) = other_run;
    for (std::size_t used = back ? i : k; used != e;) {
      const std::size_t next = beyond(used, back);
      gone_[used] = true;
      any_gone_ = true;
      used = next;
    }
    const std::size_t last = back ? e : i;
    joins_[last] = join;
    return last;
  }

  std::vector<MovedEdge>& edges_;
  std::vector<Join>& joins_;
  double mitre_limit_;
  std::vector<CornerRoom> rooms_;
  std::vector<bool> gone_;
  bool any_gone_ = false;
};

}  // namespace

void cut_back(std::vector<MovedEdge>& edges, std::vector<Join>& joins, const OffsetOptions& options) {
  if (edges.size() > 2) Cutter(edges, joins, options).run();
}

}  // namespace lastwright
