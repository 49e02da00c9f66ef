#include "grading/grade/piece_shape.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/curve/biarc.hpp"
#include "geometry/curve/course.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Placed {
  Vec2 at;
  Vec2 tangent;  // unit
};

struct Node {
  Vec2 at;
  Vec2 tangent;
  std::vector<DriverValue> values;
  std::vector<Placed> probes;  // in every probe
};

// A span is judged at a few samples; between them, and between the probes, its error can be somewhat larger.
// Holding the samples to this share of the tolerance kept the whole within it in every dense evaluation.
constexpr double kSampledShare = 0.7;

class ShapeBuilder {
 public:
  ShapeBuilder(const BoundPiece& piece, const GradeMap& map, std::span<const Drivers> probes,
               const ShapeOptions& options)
      : piece_(piece), map_(map), probes_(probes), options_(options) {}

  Result<PieceShape> build() {
    for (const BoundEdge& edge : piece_.edges) {
      const std::size_t first = nodes_.size();
      Result<ShapePath> path =
          edge.spec.straight ? straight_path(edge.chain) : chain_path(edge.chain.curves());
      if (!path) return path.problem().in("edge", edge.spec.name).in("piece", piece_.spec.name);
      shape_.edges.push_back(std::move(*path));
      if (edge.spec.held) hold(first);
    }
    for (const BoundLine& line : piece_.lines) {
      if (Status added = add(line.chain.curves(), shape_.lines); !added) return added.problem();
    }
    for (const BoundLoop& loop : piece_.loops) {
      if (Status added = add(loop.outline.curves(), shape_.loops); !added) return added.problem();
    }
    for (const BoundCutOut& cut_out : piece_.cut_outs) {
      if (Status added = add(cut_out.outline.curves(), shape_.cut_outs); !added) return added.problem();
    }
    for (const BoundHole& hole : piece_.holes) shape_.holes.push_back(add_node(hole.centre, {1.0, 0.0}));
    for (const BoundText& text : piece_.texts) shape_.texts.push_back(add_node(text.at, {1.0, 0.0}));
    for (const Vec2 spot : piece_.spots) shape_.spots.push_back(add_node(spot, {1.0, 0.0}));
    for (const BoundNick& nick : piece_.nicks) {
      const Curve& curve = piece_.edges[nick.edge].chain.curves()[nick.curve];
      shape_.nicks.push_back(add_node(nick.at, tangent_at(curve, nick.t)));
    }
    if (piece_.grain) {
      const Vec2 along = unit(piece_.grain->to - piece_.grain->from);
      shape_.grain = {add_node(piece_.grain->from, along), add_node(piece_.grain->to, along)};
    }
    fill_matrices();
    return std::move(shape_);
  }

 private:
  std::uint32_t add_node(Vec2 at, Vec2 tangent) {
    Node node{at, tangent, std::vector<DriverValue>(map_.field().drivers()), {}};
    map_.field().evaluate(at, node.values);
    for (const Drivers& drivers : probes_) {
      Vec2 p = at;
      Vec2 t = tangent;
      for (std::size_t j = 0; j < drivers.size(); ++j) {
        const DriverValue& v = node.values[j];
        p += drivers[j] * v.u;
        t += drivers[j] * (tangent.x * v.ux + tangent.y * v.uy);
      }
      node.probes.push_back({p, unit(t)});
    }
    nodes_.push_back(std::move(node));
    return static_cast<std::uint32_t>(nodes_.size() - 1);
  }

  // The nodes of a held edge keep their places to its first one and the one farthest from that: between the
  // points that the map holds together it would leave the drawn shape by some micrometres.
  void hold(std::size_t first) {
    const Vec2 start = nodes_[first].at;
    std::size_t last = first;
    for (std::size_t i = first; i < nodes_.size(); ++i) {
      if (distance(start, nodes_[i].at) > distance(start, nodes_[last].at)) last = i;
    }
    const Vec2 whole = nodes_[last].at - start;
    if (!(norm(whole) > tolerance::kSamePoint.value())) return;
    const std::vector<DriverValue> near = nodes_[first].values;
    const std::vector<DriverValue> far = nodes_[last].values;
    for (std::size_t j = 0; j < near.size(); ++j) {
      // u = turn * (p - start) as complex numbers, beside the first one's own move.
      const Vec2 moved = far[j].u - near[j].u;
      const Vec2 turn = Vec2{dot(whole, moved), cross(whole, moved)} / square_of(whole);
      for (std::size_t i = first; i < nodes_.size(); ++i) {
        const Vec2 from = nodes_[i].at - start;
        nodes_[i].values[j] = {near[j].u + turn.x * from + turn.y * left_of(from), turn, left_of(turn)};
      }
    }
  }

  Status add(const std::vector<Curve>& curves, std::vector<ShapePath>& paths) {
    Result<ShapePath> path = chain_path(curves);
    if (!path) return path.problem().in("piece", piece_.spec.name);
    paths.push_back(std::move(*path));
    return Done{};
  }

  Result<ShapePath> chain_path(const std::vector<Curve>& curves) {
    ShapePath path;
    for (const Curve& curve : curves) {
      double from = 0.0;
      for (const double kink : kinks(curve)) {
        if (Status added = add_smooth(part_of(curve, from, kink), path); !added) return added.problem();
        from = kink;
      }
      const Status added =
          from == 0.0 ? add_smooth(curve, path) : add_smooth(part_of(curve, from, 1.0), path);
      if (!added) return added.problem();
    }
    return path;
  }

  // Parameters where the tangent of a spline jumps.
  static std::vector<double> kinks(const Curve& curve) {
    std::vector<double> found;
    constexpr double kBeside = 1e-7;  // of a parameter: just before and after a knot
    constexpr double kSmooth =
        1e-4;  // radians: what a curvature of 1/mm turns over the step beside the knot, and more
    for (const double t : breaks_of(curve)) {
      const double turn = angle_between(tangent_at(curve, t - kBeside), tangent_at(curve, t + kBeside));
      if (std::abs(turn) > kSmooth) found.push_back(t);
    }
    return found;
  }

  Status add_smooth(const Curve& curve, ShapePath& path) {
    const std::uint32_t from = add_node(start_of(curve), tangent_at(curve, 0.0));
    const std::uint32_t to = add_node(end_of(curve), tangent_at(curve, 1.0));
    return refine(curve, 0.0, 1.0, from, to, 0, path);
  }

  Status refine(const Curve& curve, double t0, double t1, std::uint32_t from, std::uint32_t to, int depth,
                ShapePath& path) {
    const double error = probe_error(curve, t0, t1, from, to);
    constexpr int kDeepest = 14;
    if (error <= kSampledShare * options_.fit.value()) {
      shape_.worst_fit = std::max(shape_.worst_fit, error);
      path.push_back({from, to, false});
      return Done{};
    }
    if (depth == kDeepest) {
      return Problem{
          Trouble::kGrade,
          "a curve cannot be followed by arcs in every size: the map folds or the curve doubles back here",
          {},
          error,
          options_.fit.value()};
    }
    const double middle = 0.5 * (t0 + t1);
    const std::uint32_t between = add_node(point_at(curve, middle), tangent_at(curve, middle));
    if (Status left = refine(curve, t0, middle, from, between, depth + 1, path); !left) return left;
    return refine(curve, middle, t1, between, to, depth + 1, path);
  }

  // Farthest distance of mapped points of the span from its biarc, over all probes.
  double probe_error(const Curve& curve, double t0, double t1, std::uint32_t from, std::uint32_t to) const {
    // Places of a span where the error of a biarc peaks: near
    // the middles of its two arcs, and beside the joint.
    static constexpr std::array kSamples = {0.12, 0.25, 0.4, 0.6, 0.75, 0.88};
    std::array<std::vector<Vec2>, kSamples.size()> moves;
    std::array<Vec2, kSamples.size()> drawn;
    for (std::size_t s = 0; s < kSamples.size(); ++s) {
      drawn[s] = point_at(curve, t0 + kSamples[s] * (t1 - t0));
      moves[s].resize(map_.field().drivers());
      map_.field().displacements(drawn[s], moves[s]);
    }
    double worst = 0.0;
    for (std::size_t k = 0; k < probes_.size(); ++k) {
      const Placed& a = nodes_[from].probes[k];
      const Placed& b = nodes_[to].probes[k];
      const Biarc fit = biarc(a.at, a.tangent, b.at, b.tangent);
      if (std::abs(fit.first.bulge) > 0.5 || std::abs(fit.second.bulge) > 0.5)
        return INFINITY;  // beyond 106 degrees: split
      for (std::size_t s = 0; s < kSamples.size(); ++s) {
        Vec2 p = drawn[s];
        for (std::size_t j = 0; j < probes_[k].size(); ++j) p += probes_[k][j] * moves[s][j];
        const double off = std::min(fit.first.distance_to(p), fit.second.distance_to(p));
        if (!(off <= worst)) worst = off;
      }
      if (!(worst <= kSampledShare * options_.fit.value())) return worst;
    }
    return worst;
  }

  Result<ShapePath> straight_path(const OpenChain& chain) {
    const Vec2 a = start_of(chain.curves().front());
    const Vec2 b = end_of(chain.curves().back());
    const Vec2 along = unit(b - a);
    for (const Curve& curve : chain.curves()) {
      for (const double t : {0.0, 0.25, 0.5, 0.75, 1.0}) {
        const double off = std::abs(cross(along, point_at(curve, t) - a));
        if (!(off <= options_.straight_in_base.value())) {
          return Problem{Trouble::kGeometry,
                         "the edge is declared straight but is drawn off its chord",
                         {},
                         off,
                         options_.straight_in_base.value()};
        }
      }
    }
    for (const Drivers& drivers : probes_) {
      const Vec2 start = map_.graded(a, drivers);
      const Vec2 way = unit(map_.graded(b, drivers) - start);
      constexpr int kSamples = 16;
      for (int s = 1; s < kSamples; ++s) {
        const Vec2 p = map_.graded(lerp(a, b, static_cast<double>(s) / kSamples), drivers);
        shape_.worst_straight = std::max(shape_.worst_straight, std::abs(cross(way, p - start)));
      }
    }
    return ShapePath{{add_node(a, along), add_node(b, along), true}};
  }

  void fill_matrices() {
    const std::size_t columns = map_.field().drivers();
    shape_.basis = {4 * nodes_.size(), std::vector<double>(4 * nodes_.size() * columns)};
    const auto put = [](std::span<double> to, std::size_t node, Vec2 at, Vec2 tangent) {
      const std::array<double, 4> row{at.x, at.y, tangent.x, tangent.y};
      std::copy(row.begin(), row.end(), to.begin() + static_cast<std::ptrdiff_t>(4 * node));
    };
    shape_.base.resize(4 * nodes_.size());
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
      const Node& node = nodes_[i];
      put(shape_.base, i, node.at, node.tangent);
      for (std::size_t j = 0; j < columns; ++j) {
        const DriverValue& v = node.values[j];
        put(shape_.basis.column(j), i, v.u, node.tangent.x * v.ux + node.tangent.y * v.uy);
      }
    }
  }

  const BoundPiece& piece_;
  const GradeMap& map_;
  std::span<const Drivers> probes_;
  ShapeOptions options_;
  PieceShape shape_;
  std::vector<Node> nodes_;
};

Vec2 position(ShapeNodes nodes, std::uint32_t i) {
  const std::size_t row = 4 * std::size_t{i};
  return {nodes[row], nodes[row + 1]};
}
Vec2 tangent(ShapeNodes nodes, std::uint32_t i) {
  const std::size_t row = 4 * std::size_t{i};
  return unit({nodes[row + 2], nodes[row + 3]});
}

// Appends the vertices where the span's segments start. Two
// arcs of one circle, and two parts of one line, become one.
void append_span(const ShapeSpan& span, ShapeNodes nodes, std::vector<ArcVertex>& out) {
  const Vec2 a = position(nodes, span.from);
  if (span.straight) {
    out.push_back({a, 0.0});
    return;
  }
  const Biarc fit = biarc(a, tangent(nodes, span.from), position(nodes, span.to), tangent(nodes, span.to));
  const double chord = norm(fit.second.b - a);
  const auto curvature = [](const ArcSegment& s) {
    return 4.0 * s.bulge / ((1.0 + s.bulge * s.bulge) * s.chord());
  };
  const double sag = std::abs(curvature(fit.first) - curvature(fit.second)) * chord * chord;
  if (sag < 8.0 * tolerance::kSamePoint.value()) {
    const double both = fit.first.bulge + fit.second.bulge;  // quarter sweeps add up: tangent of a sum
    const double bulge = both / (1.0 - fit.first.bulge * fit.second.bulge);
    out.push_back({a, std::abs(bulge) * chord < 2.0 * tolerance::kSamePoint.value() ? 0.0 : bulge});
    return;
  }
  out.push_back({a, fit.first.bulge});
  out.push_back({fit.second.a, fit.second.bulge});
}

ClosedArcPath closed_path(const ShapePath& path, ShapeNodes nodes) {
  ClosedArcPath closed;
  closed.vertices.reserve(2 * path.size());
  for (const ShapeSpan& span : path) append_span(span, nodes, closed.vertices);
  return closed;
}

// The grain keeps its direction: to the fold of a piece that is cut double, else to the base line, which
// stays where it is. Its middle and its length go with the grade.
OpenArcPath graded_grain(const BoundPiece& piece, const PieceShape& shape, ShapeNodes nodes) {
  const Vec2 from = position(nodes, shape.grain[0]);
  const Vec2 to = position(nodes, shape.grain[1]);
  Vec2 along = unit(piece.grain->to - piece.grain->from);
  if (const std::optional<std::size_t> fold = fold_edge(piece)) {
    const std::vector<Curve>& curves = piece.edges[*fold].chain.curves();
    const ShapePath& path = shape.edges[*fold];
    const Vec2 drawn = end_of(curves.back()) - start_of(curves.front());
    const Vec2 now = position(nodes, path.back().to) - position(nodes, path.front().from);
    along = turned(along, angle_between(drawn, now));
  }
  const Vec2 middle = lerp(from, to, 0.5);
  const Vec2 half = 0.5 * distance(from, to) * along;
  return {{{middle - half, 0.0}, {middle + half, 0.0}}};
}

}  // namespace

Result<PieceShape> make_piece_shape(const BoundPiece& piece, const GradeMap& map,
                                    std::span<const Drivers> probes, const ShapeOptions& options) {
  return ShapeBuilder(piece, map, probes, options).build();
}

std::vector<double> shape_nodes(const PieceShape& shape, const Drivers& drivers) {
  std::vector<double> nodes = shape.base;
  for (std::size_t j = 0; j < drivers.size(); ++j) {
    const std::span<const double> moves = shape.basis.column(j);
    for (std::size_t row = 0; row < nodes.size(); ++row) nodes[row] += drivers[j] * moves[row];
  }
  return nodes;
}

Vec2 shaped_point(ShapeNodes nodes, std::uint32_t node) {
  return position(nodes, node);
}

OpenArcPath shaped_path(const ShapePath& path, ShapeNodes nodes) {
  OpenArcPath open;
  open.vertices.reserve(2 * path.size() + 1);
  for (const ShapeSpan& span : path) append_span(span, nodes, open.vertices);
  open.vertices.push_back({position(nodes, path.back().to), 0.0});
  return open;
}

GradedPiece shaped_piece(const BoundPiece& piece, const PieceShape& shape, ShapeNodes nodes,
                         const SizeWidth& at) {
  GradedPiece graded;
  graded.piece = piece.spec.name;
  graded.at = at;
  for (std::size_t e = 0; e < shape.edges.size(); ++e) {
    for (const ShapeSpan& span : shape.edges[e]) append_span(span, nodes, graded.net.path.vertices);
    graded.net.edge.resize(graded.net.path.size(), static_cast<std::uint16_t>(e));
  }
  graded.cut = graded.net;
  for (const ShapePath& path : shape.cut_outs) graded.cut_outs.push_back(closed_path(path, nodes));
  for (std::size_t i = 0; i < shape.lines.size(); ++i) {
    graded.lines.push_back({shaped_path(shape.lines[i], nodes), piece.lines[i].operation});
  }
  for (std::size_t i = 0; i < shape.loops.size(); ++i) {
    OpenArcPath loop = shaped_path(shape.loops[i], nodes);
    graded.lines.push_back({std::move(loop), piece.loops[i].operation});
  }
  for (std::size_t i = 0; i < shape.holes.size(); ++i) {
    graded.holes.push_back(
        {position(nodes, shape.holes[i]), piece.holes[i].radius, piece.holes[i].operation});
  }
  for (std::size_t i = 0; i < shape.nicks.size(); ++i) {
    const double depth = piece.nicks[i].depth > 0.0 ? piece.nicks[i].depth : kUsualNick;
    const Vec2 mouth = position(nodes, shape.nicks[i]);
    const Vec2 inward = left_of(tangent(nodes, shape.nicks[i]));
    graded.lines.push_back({OpenArcPath{{{mouth, 0.0}, {mouth + depth * inward, 0.0}}}, Operation::kNick});
  }
  if (!shape.grain.empty()) graded.lines.push_back({graded_grain(piece, shape, nodes), Operation::kGrain});
  for (std::size_t i = 0; i < shape.texts.size(); ++i) {
    const BoundText& text = piece.texts[i];
    graded.texts.push_back(
        {position(nodes, shape.texts[i]), text.height, text.angle, text.text, Operation::kText});
  }
  return graded;
}

namespace {

// From its first vertex round to it.
OpenArcPath opened(const ClosedArcPath& closed) {
  OpenArcPath path{closed.vertices};
  path.vertices.push_back({closed.vertices.front().at, 0.0});
  return path;
}

}  // namespace

void hold_cut_outs(const PieceShape& shape, ShapeNodes as, ShapeNodes nodes, GradedPiece& piece) {
  for (std::size_t c = 0; c < shape.cut_outs.size(); ++c) {
    const ClosedArcPath held = closed_path(shape.cut_outs[c], as);
    const ClosedArcPath here = closed_path(shape.cut_outs[c], nodes);
    // At equal shares of their lengths: so it does not matter into how many segments they are cut, which
    // depends on what else the run makes.
    constexpr int kShares = 400;
    const Course one(opened(held));
    const Course other(opened(here));
    std::vector<std::pair<Vec2, Vec2>> places;
    Vec2 from;
    Vec2 to;
    for (int k = 0; k < kShares; ++k) {
      const double share = static_cast<double>(k) / kShares;
      places.emplace_back(one.at(share * one.length()).at, other.at(share * other.length()).at);
      from = from + places.back().first / kShares;
      to = to + places.back().second / kShares;
    }
    double along = 0.0;
    double across = 0.0;
    for (const auto& [a, b] : places) {
      along += dot(a - from, b - to);
      across += cross(a - from, b - to);
    }
    const Radians turn(std::atan2(across, along));
    piece.cut_outs[c] = placed(held, turn, to - turned(from, turn.value()));
  }
}

}  // namespace lastwright
