#include "geometry/offset/cut_back.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/intersect.hpp"
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
  Cutter(std::vector<MovedEdge>& edges, std::vector<Join>& joins)
      : edges_(edges), joins_(joins), gone_(edges.size(), false) {}

  void run() {
    for (std::size_t i = 0; i < edges_.size(); ++i) {
      if (gone_[i] || !concerns(joins_[i])) continue;
      std::size_t last = i;
      const std::size_t next = beyond(i, false);
      if (short_of(edges_[i], joins_[i].run_in)) last = cut(i, next, true);
      if (short_of(edges_[next], joins_[last].run_out)) cut(last, next, false);
      give_up(joins_[last], edges_[last], edges_[beyond(last, false)]);
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
  // A mitre or square without a cut of its own needs one run forward; a step stands on the corner itself.
  static bool concerns(const Join& join) {
    if (join.kind != JoinKind::kApart || join.bulge != 0.0) return false;
    return join.via_count > 0 || std::max(join.run_in, join.run_out) >= 0.0;
  }

  static bool short_of(const MovedEdge& edge, double run) {
    return run < -kNoRun && (!edge.moved.straight() || -run > edge.moved.chord());
  }

  // Behind its own other end an edge leads out of the piece, and a curved one leaves it at once: what is
  // still asked of such an edge is left out.
  static void give_up(Join& join, const MovedEdge& before, const MovedEdge& after) {
    const auto leaves = [](const MovedEdge& edge, double run) {
      return run < -kNoRun && (!edge.moved.straight() || -run > edge.source.chord());
    };
    const bool in = leaves(before, join.run_in);
    const bool out = leaves(after, join.run_out);
    if (in || (out && join.via_count == 0)) join.run_in = 0.0;
    if (out || (in && join.via_count == 0)) join.run_out = 0.0;
  }

  // The edge after `i`, or before it when going back.
  [[nodiscard]] std::size_t beyond(std::size_t i, bool back) const {
    const std::size_t n = edges_.size();
    do {
      i = back ? (i + n - 1) % n : (i + 1) % n;
    } while (gone_[i]);
    return i;
  }

  // Cuts edge `i` and those before it when going back, edge `k` and those after it otherwise. All segments
  // below are taken in the direction away from the corner. Returns the edge the join follows now.
  std::size_t cut(std::size_t i, std::size_t k, bool back) {
    const Join join = joins_[i];
    const std::size_t other = back ? k : i;
    const MovedEdge& first = edges_[back ? i : k];
    const Vec2 asked =
        back ? first.moved.b + join.run_in * first.arrives : first.moved.a - join.run_out * first.leaves;
    Ray ray = ray_of(join, edges_[other], asked, back);
    const double furthest = kFar * std::abs(back ? join.run_in : join.run_out);
    double walked = 0.0;
    for (std::size_t e = back ? i : k; walked <= furthest;) {
      const ArcSegment m = back ? edges_[e].moved.reversed() : edges_[e].moved;
      // The line must not run through the piece itself.
      const ArcSegment& source = edges_[e].source;
      if (const std::optional<Vec2> p = first_crossing(back ? source.reversed() : source, ray)) {
        const double along = dot(*p - ray.from, ray.ahead);
        if (along > tolerance::kSamePoint.value()) ray.reach = std::min(ray.reach, along);
      }
      if (edges_[e].bent() > 1e-9) {
        if (const std::optional<Vec2> p = first_crossing(m, ray)) {
          const ArcSegment rest = with_end(m.reversed(), *p);
          edges_[e].moved = back ? rest : rest.reversed();
          return finish(i, k, e, back, 0.0, *p);
        }
      }
      walked += m.length();
      const std::size_t f = beyond(e, back);
      if (f == other || edges_[f].outward != edges_[e].outward) return i;
      Join& link = joins_[back ? f : e];
      if (link.via_count > 0 || link.bulge != 0.0) return i;
      if (link.kind == JoinKind::kApart) {
        if (link.run_in <= 0.0 || link.run_out <= 0.0) return i;
        const Vec2 tip = back ? m.b - link.run_out * edges_[e].leaves : m.b + link.run_in * edges_[e].arrives;
        if (const std::optional<Vec2> p = first_crossing({m.b, tip, 0.0}, ray)) {
          // Of this edge only its run is left.
          edges_[e].from.corner = edges_[e].from.corner || !m.straight();
          edges_[e].moved = back ? ArcSegment{tip, *p, 0.0} : ArcSegment{*p, tip, 0.0};
          edges_[e].curvature = 0.0;
          (back ? edges_[e].arrives : edges_[e].leaves) = back ? edges_[e].leaves : edges_[e].arrives;
          (back ? link.run_out : link.run_in) = 0.0;
          return finish(i, k, e, back, 0.0, *p);
        }
        const Vec2 end = back ? edges_[f].moved.b : edges_[f].moved.a;
        if (const std::optional<Vec2> p = first_crossing({tip, end, 0.0}, ray))
          return finish(i, k, f, back, distance(end, *p), *p);
      }
      e = f;
    }
    return i;
  }

  // `asked`: where the edge to be cut would end if it were straight.
  static Ray ray_of(const Join& join, const MovedEdge& other, Vec2 asked, bool back) {
    const Vec2 end = back ? other.moved.a : other.moved.b;
    const Vec2 from = join.via_count > 0 ? join.via[0].at : end;
    return {from, back ? -1.0 * other.leaves : other.arrives,
            kFar * (std::abs(back ? join.run_in : join.run_out) + distance(from, asked))};
  }

  std::size_t finish(std::size_t i, std::size_t k, std::size_t e, bool back, double run, Vec2 p) {
    Join join = joins_[i];
    (back ? join.run_in : join.run_out) = run;
    if (join.via_count == 0)
      (back ? join.run_out : join.run_in) = distance(back ? edges_[k].moved.a : edges_[i].moved.b, p);
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
  std::vector<bool> gone_;
  bool any_gone_ = false;
};

}  // namespace

void cut_back(std::vector<MovedEdge>& edges, std::vector<Join>& joins) {
  if (edges.size() > 2) Cutter(edges, joins).run();
}

}  // namespace lastwright
