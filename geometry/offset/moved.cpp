#include "geometry/offset/moved.hpp"

#include "geometry/curve/intersect.hpp"
#include "geometry/offset/corner.hpp"
#include "geometry/offset/cut_back.hpp"
#include "geometry/offset/hollow.hpp"
#include "geometry/offset/moved_edge.hpp"
#include "geometry/offset/room.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Bows flatter than a root are straight: their centre is so far away that nothing could be computed with it.
bool flat(const ArcSegment& s) {
  const double bow = tolerance::kRoot.value();  // twice the height of the bow is chord times bulge
  return 0.25 * s.bulge * s.bulge * square_of(s.b - s.a) <= bow * bow;
}

std::vector<MovedEdge> edges_of(const auto& path, const auto& distance_of) {
  std::vector<MovedEdge> edges;
  edges.reserve(path.size());
  for (std::size_t i = 0; i < path.size(); ++i) {
    ArcSegment s = path.segment(i);
    if (flat(s)) s.bulge = 0.0;
    const Vec2 chord = s.b - s.a;
    const double long_chord = std::sqrt(square_of(chord));
    const Vec2 along = long_chord > 0.0 ? chord / long_chord : Vec2{};
    const double f = 1.0 / (1.0 + s.bulge * s.bulge);
    const Vec2 ahead = f * (1.0 - s.bulge * s.bulge) * along;
    const Vec2 aside = 2.0 * f * s.bulge * left_of(along);
    MovedEdge edge{s,
                   {},
                   ahead - aside,
                   ahead + aside,
                   distance_of(i),
                   4.0 * f * s.bulge / long_chord,
                   {static_cast<std::uint32_t>(i), false}};
    edge.moved = {s.a - edge.outward * left_of(edge.leaves), s.b - edge.outward * left_of(edge.arrives),
                  s.bulge};
    edges.push_back(edge);
  }
  return edges;
}

OffsetCorner form_at(std::size_t vertex, const OffsetOptions& options) {
  return options.corners.empty() ? options.corner : options.corners[vertex];
}

Join join_between(const std::vector<MovedEdge>& edges, std::size_t i, std::size_t k,
                  const OffsetOptions& options, double share = 1.0) {
  const MovedEdge& before = edges[i];
  const MovedEdge& after = edges[k];
  const OffsetCorner form = form_at(k, options);
  CornerGeometry corner{after.source.a, before.arrives, after.leaves, before.outward, after.outward};
  const bool cuts =
      form == OffsetCorner::kStep || (form == OffsetCorner::kMitre && before.outward != after.outward);
  if (cuts && dot(before.arrives, after.leaves) > 0.0) {
    const CornerRoom room = room_at(edges, i, k, options);
    corner.room_in = room.in;
    corner.room_out = room.out;
  }
  return join_at(corner, form, options.mitre_limit, share);
}

bool meet_at(MovedEdge& before, MovedEdge& after, Vec2 p) {
  before.moved = with_end(before.moved, p);
  after.moved = with_end(after.moved.reversed(), p).reversed();
  return true;
}

// Kinks of a curve, where one distance holds on both sides: instead of a corner treatment the edges are
// lengthened or cut by less than the shortest segment there may be, to where they meet.
bool close_kink(MovedEdge& before, MovedEdge& after, const Join& join, OffsetCorner form) {
  if (before.outward != after.outward || join.kind == JoinKind::kSmooth) return false;
  const double sine = cross(before.arrives, after.leaves);
  const double cosine = dot(before.arrives, after.leaves);
  const double run = before.outward * sine / (1.0 + cosine);
  const double shortest = tolerance::kShortestSegment.value();
  if (!(cosine > 0.9 && std::abs(run) < shortest)) return false;
  const auto roomy = [&](const MovedEdge& e) {
    return e.bent() > 1e-3 && square_of(e.moved.b - e.moved.a) > 16.0 * run * run;
  };
  if (!roomy(before) || !roomy(after)) return false;
  const Vec2 tip = before.moved.b + run * before.arrives;
  const double bend =
      std::max(std::abs(before.curvature / before.bent()), std::abs(after.curvature / after.bent()));
  if (0.5 * run * run * bend < tolerance::kRoot.value()) return meet_at(before, after, tip);
  // Where this is not exact enough the circles tell; a hollow kink is cut there anyhow.
  if (join.kind != JoinKind::kApart || form == OffsetCorner::kRound) return false;
  const CarrierPoints points = carrier_points(before.moved, after.moved, 0.0);
  for (std::size_t i = 0; i < points.count; ++i) {
    const Vec2 p = points.at[i];
    const bool ahead =
        dot(p - before.moved.b, before.arrives) >= 0.0 && dot(after.moved.a - p, after.leaves) >= 0.0;
    if (ahead && distance(p, tip) < std::abs(run)) return meet_at(before, after, p);
  }
  return false;
}

// A step runs from the vertex along both edges' own lines: not where the outline itself is in their way.
bool steps_into(const std::vector<MovedEdge>& edges, std::size_t i, std::size_t k, const Join& join) {
  const Vec2 vertex = edges[k].source.a;
  const Vec2 foot = join.via_count > 0 ? join.via[0].at : vertex;
  const double touch = tolerance::kNode.value();
  for (Vec2 end : {edges[i].moved.b + join.run_in * edges[i].arrives,
                   edges[k].moved.a - join.run_out * edges[k].leaves}) {
    const ArcSegment leg{foot, end, 0.0};
    if (leg.chord() < tolerance::kSamePoint.value()) continue;
    const Box2 box = loose_bounds(leg).grown(touch);
    for (const MovedEdge& edge : edges) {
      if (!loose_bounds(edge.source).overlaps(box)) continue;
      for (const Contact& contact : contacts(edge.source, leg, touch)) {
        if (distance(contact.at, vertex) > tolerance::kSamePoint.value()) return true;
      }
    }
  }
  return false;
}

// The largest step that is clear of the outline; none where it is in the way of all.
Join clear_step(const std::vector<MovedEdge>& edges, std::size_t i, std::size_t k,
                const OffsetOptions& options) {
  double clear = 0.0;
  double blocked = 1.0;
  for (int halving = 0; halving < 30; ++halving) {
    const double share = 0.5 * (clear + blocked);
    const bool blocks = steps_into(edges, i, k, join_between(edges, i, k, options, share));
    (blocks ? blocked : clear) = share;
  }
  return join_between(edges, i, k, options, clear);
}

// Most joints: join_at says the same of them.
bool smooth(const MovedEdge& before, const MovedEdge& after) {
  return before.outward == after.outward && dot(before.arrives, after.leaves) > 0.0 &&
         std::abs(cross(before.arrives, after.leaves) * before.outward) < tolerance::kRoot.value();
}

// The join at the end of each edge; kinks of curves are closed on the way, and edges that end before an
// uneven corner are cut back or taken out.
std::vector<Join> joins_of(std::vector<MovedEdge>& edges, bool closed, const OffsetOptions& options) {
  std::vector<Join> joins(edges.size());
  for (std::size_t i = 0; i + (closed ? 0 : 1) < edges.size(); ++i) {
    const std::size_t k = i + 1 == edges.size() ? 0 : i + 1;
    if (smooth(edges[i], edges[k])) continue;
    joins[i] = join_between(edges, i, k, options);
    const OffsetCorner form = form_at(k, options);
    if (close_kink(edges[i], edges[k], joins[i], form)) joins[i] = Join{};
    const bool steps = form == OffsetCorner::kStep && joins[i].kind == JoinKind::kApart &&
                       edges[i].outward * edges[k].outward >= 0.0;
    if (steps && steps_into(edges, i, k, joins[i])) joins[i] = clear_step(edges, i, k, options);
  }
  run_on(edges, joins, closed, options.mitre_limit);
  if (closed) cut_back(edges, joins, options);
  return joins;
}

// Collects contiguous pieces; those without length are left out.
class Run {
 public:
  explicit Run(std::size_t expected) { pieces_.reserve(expected); }

  void start(Vec2 at) { at_ = at; }
  void to(Vec2 b, double bulge, OffsetSource source) {
    if (square_of(b - at_) <= kNoRun * kNoRun) return;
    pieces_.push_back({{at_, b, bulge}, source});
    at_ = b;
  }

  [[nodiscard]] std::vector<MovedPiece> take() && { return std::move(pieces_); }

 private:
  std::vector<MovedPiece> pieces_;
  Vec2 at_;
};

bool runs_on(const Join& join) {
  return join.kind == JoinKind::kApart || join.kind == JoinKind::kHollow;
}

// Where a moved edge ends and starts with its runs: a straight one runs on (or is cut back) by itself.
Vec2 end_of(const MovedEdge& edge, const Join& join) {
  const bool runs = edge.moved.straight() && runs_on(join);
  return runs ? edge.moved.b + join.run_in * edge.arrives : edge.moved.b;
}
Vec2 start_of(const MovedEdge& edge, const Join& join) {
  const bool runs = edge.moved.straight() && runs_on(join);
  return runs ? edge.moved.a - join.run_out * edge.leaves : edge.moved.a;
}

// Of a hollow corner: whether the first of the two edges is the wider one.
bool ends_wide(const MovedEdge& before, const MovedEdge& after) {
  return std::abs(before.outward) > std::abs(after.outward);
}

// Whether what leads from the one edge to the other belongs to the edge after: it does to the one whose end
// it stands on, not to the one that it stands beside.
bool joint_of_after(const Join& join, const MovedEdge& before, const MovedEdge& after) {
  if (join.via_count > 0) return false;
  const bool wide_last = std::abs(after.outward) > std::abs(before.outward);
  const double run_of_wide = wide_last ? join.run_out : join.run_in;
  return wide_last == (run_of_wide > -kNoRun && !join.cut);
}

// From the end of `before` (where the run stands) to the start of `after`.
void add_join(const Join& join, const MovedEdge& before, const MovedEdge& after, Run& run) {
  const OffsetSource second{after.from.segment, true};
  const OffsetSource first{(joint_of_after(join, before, after) ? after : before).from.segment, true};
  if (join.kind == JoinKind::kInto) run.to(after.source.a, 0.0, first);
  if (runs_on(join)) {
    const OffsetSource run_on =
        join.kind == JoinKind::kHollow ? first : OffsetSource{before.from.segment, true};
    if (!before.moved.straight()) run.to(before.moved.b + join.run_in * before.arrives, 0.0, run_on);
    for (const WayBack& back : join.way_back) run.to(back.to, back.bulge, first);
    double bulge = join.bulge;
    for (std::size_t v = 0; v < join.via_count; ++v) {
      run.to(join.via[v].at, bulge, first);
      bulge = join.via[v].bulge;
    }
    run.to(after.moved.a - join.run_out * after.leaves, bulge, first);
  }
  run.to(start_of(after, join), 0.0, second);
}

std::vector<MovedPiece> run_of(const std::vector<MovedEdge>& edges, const std::vector<Join>& joins,
                               bool closed) {
  const std::size_t n = edges.size();
  Run run(3 * n);
  run.start(closed ? start_of(edges[0], joins[n - 1]) : edges[0].moved.a);
  for (std::size_t i = 0; i < n; ++i) {
    const OffsetSource from = edges[i].from;
    if (edges[i].bent() > 0.0) {
      run.to(end_of(edges[i], joins[i]), edges[i].moved.bulge, from);
    } else {
      run.to(edges[i].source.centre(), 0.0, {from.segment, true});
      run.to(edges[i].moved.b, 0.0, {from.segment, true});
    }
    if (!closed && i + 1 == n) break;
    add_join(joins[i], edges[i], edges[i + 1 == n ? 0 : i + 1], run);
  }
  return std::move(run).take();
}

// Where two moved neighbours cross next to their vertex; on both of them.
std::optional<Vec2> crossing(const MovedEdge& before, const MovedEdge& after) {
  const CarrierPoints points = carrier_points(before.moved, after.moved, 0.0);
  std::optional<Vec2> nearest;
  for (std::size_t i = 0; i < points.count; ++i) {
    const Vec2 p = points.at[i];
    if (!before.moved.faces(p) || !after.moved.faces(p)) continue;
    if (!nearest || distance(p, after.source.a) < distance(*nearest, after.source.a)) nearest = p;
  }
  return nearest;
}

// Unit tangent of an arc at a point of it.
Vec2 tangent_of(const ArcSegment& s, Vec2 p) {
  const Vec2 n = left_of(s.start_tangent()) - s.curvature() * (p - s.a);
  return {n.y, -n.x};
}

struct Ends {
  Vec2 start;
  Vec2 end;
  bool start_cut = false;  // not where the moved edge starts
  bool end_cut = false;
};

// What is left of a moved edge between its two cuts; nothing when they have passed each other.
std::optional<ArcSegment> between(const MovedEdge& edge, const Ends& ends) {
  const ArcSegment& m = edge.moved;
  if (m.straight()) {
    if (dot(ends.end - ends.start, edge.leaves) <= tolerance::kSamePoint.value()) return std::nullopt;
    return ArcSegment{ends.start, ends.end, 0.0};
  }
  if (!ends.start_cut && !ends.end_cut) return m;
  const Vec2 leaves = ends.start_cut ? tangent_of(m, ends.start) : m.start_tangent();
  const ArcSegment rest = arc_from_tangent(ends.start, leaves, ends.end);
  // Cuts that passed each other leave the rest of the circle, or an arc the other way round.
  const bool same_turn = rest.bulge * m.bulge > 0.0;
  if (!same_turn || std::abs(rest.bulge) > std::abs(m.bulge) * (1.0 + 1e-9)) return std::nullopt;
  if (distance(ends.start, ends.end) <= tolerance::kSamePoint.value()) return std::nullopt;
  return rest;
}

}  // namespace

MovedOutline moved_outline(const ClosedArcPath& path, std::span<const Millimetres> distances,
                           const OffsetOptions& options) {
  MovedOutline moved{edges_of(path, [&](std::size_t i) { return distances[i].value(); }), {}};
  moved.joins = joins_of(moved.edges, true, options);
  return moved;
}

std::vector<MovedPiece> closed_run(const MovedOutline& moved) {
  return run_of(moved.edges, moved.joins, true);
}

std::vector<MovedPiece> open_run(const OpenArcPath& path, Millimetres outward, const OffsetOptions& options) {
  std::vector<MovedEdge> edges = edges_of(path, [&](std::size_t) { return outward.value(); });
  const std::vector<Join> joins = joins_of(edges, false, options);
  return run_of(edges, joins, false);
}

std::optional<OffsetOutline> trimmed_edges(const MovedOutline& moved) {
  const std::vector<MovedEdge>& edges = moved.edges;
  const std::vector<Join>& joins = moved.joins;
  const std::size_t n = edges.size();
  std::vector<Ends> ends(n);
  for (std::size_t i = 0; i < n; ++i) {
    if (edges[i].bent() <= 1e-9) return std::nullopt;
    ends[i].start = edges[i].moved.a;
    ends[i].end = edges[i].moved.b;
  }
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t k = i + 1 == n ? 0 : i + 1;
    const Join& join = joins[i];
    if (join.kind == JoinKind::kSmooth) {
      ends[k].start = ends[i].end;
    } else if (join.kind == JoinKind::kInto) {
      const std::optional<Vec2> p = crossing(edges[i], edges[k]);
      if (!p) return std::nullopt;
      ends[i].end = ends[k].start = *p;
      ends[i].end_cut = ends[k].start_cut = true;
    } else if (join.kind == JoinKind::kHollow) {
      if (!join.meets) return std::nullopt;
      const bool wide_first = ends_wide(edges[i], edges[k]);
      ends[i].end = wide_first ? end_of(edges[i], join) : *join.meets;
      ends[k].start = wide_first ? *join.meets : start_of(edges[k], join);
      (wide_first ? ends[k].start_cut : ends[i].end_cut) = true;
    } else {
      // A curved edge needs a piece of its tangent to run on, and cannot be cut back along it.
      if (!edges[i].moved.straight() && join.run_in < -kNoRun) return std::nullopt;
      if (!edges[k].moved.straight() && join.run_out < -kNoRun) return std::nullopt;
      ends[i].end = end_of(edges[i], join);
      ends[k].start = start_of(edges[k], join);
    }
  }

  OffsetOutline outline;
  outline.path.vertices.reserve(2 * n);
  outline.source.reserve(2 * n);
  Vec2 at;
  const auto add = [&](Vec2 b, double bulge, OffsetSource source) {
    if (square_of(b - at) <= kNoRun * kNoRun) return;
    outline.path.vertices.push_back({at, bulge});
    outline.source.push_back(source);
    at = b;
  };
  for (std::size_t i = 0; i < n; ++i) {
    const std::size_t k = i + 1 == n ? 0 : i + 1;
    const std::optional<ArcSegment> rest = between(edges[i], ends[i]);
    if (!rest) return std::nullopt;
    at = rest->a;
    add(rest->b, rest->bulge, edges[i].from);
    const Join& join = joins[i];
    if (!runs_on(join)) continue;
    const OffsetSource second{edges[k].from.segment, true};
    const OffsetSource first{edges[joint_of_after(join, edges[i], edges[k]) ? k : i].from.segment, true};
    if (join.kind == JoinKind::kHollow) {
      if (ends_wide(edges[i], edges[k])) {
        add(edges[i].moved.b + join.run_in * edges[i].arrives, 0.0, first);
        add(ends[k].start, 0.0, first);
      } else {
        add(edges[k].moved.a - join.run_out * edges[k].leaves, 0.0, second);
        add(ends[k].start, 0.0, second);
      }
      continue;
    }
    if (!edges[i].moved.straight())
      add(edges[i].moved.b + join.run_in * edges[i].arrives, 0.0, {edges[i].from.segment, true});
    double bulge = join.bulge;
    for (std::size_t v = 0; v < join.via_count; ++v) {
      add(join.via[v].at, bulge, first);
      bulge = join.via[v].bulge;
    }
    const Vec2 next = ends[k].start;
    if (edges[k].moved.straight()) {
      add(next, bulge, first);
    } else {
      add(edges[k].moved.a - join.run_out * edges[k].leaves, bulge, first);
      add(next, 0.0, second);
    }
  }
  return outline;
}

}  // namespace lastwright
