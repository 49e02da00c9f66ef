#include "grading/pieces/net/net_proof.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "geometry/curve/biarc.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/unfold.hpp"

namespace lastwright {

namespace {

// The proof compares lines and arcs, which leave the curves by no more than this.
constexpr Millimetres kProofFit{1e-4};

// The edges as one outline of lines and arcs, unfolded where the piece is cut double.
Result<GradedPiece> outlined(const BoundPiece& piece, const std::vector<BoundEdge>& edges) {
  GradedPiece half;
  half.piece = piece.spec.name;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    const OpenArcPath path = arc_fit(edges[e].chain, kProofFit);
    half.net.path.vertices.insert(half.net.path.vertices.end(), path.vertices.begin(),
                                  path.vertices.end() - 1);
    half.net.edge.insert(half.net.edge.end(), path.size(), static_cast<std::uint16_t>(e));
  }
  half.cut = half.net;
  if (const std::optional<std::size_t> fold = fold_edge(piece))
    return unfolded(half, static_cast<std::uint16_t>(*fold));
  return half;
}

// Looks at the vertices and middles of segments.
void at_each_place(const ClosedArcPath& path, const auto& look) {
  for (std::size_t i = 0; i < path.size(); ++i) {
    look(path.vertices[i].at);
    look(path.segment(i).point_at(0.5));
  }
}

}  // namespace

double NetProof::most_apart() {
  return tolerance::kOffset.value() + 2.0 * kProofFit.value();
}

Result<NetProof> NetProof::of(const BoundPiece& drawn, std::span<const Millimetres> allowances) {
  NetProof proof(drawn, allowances);
  Result<GradedPiece> outline = outlined(drawn, drawn.edges);
  if (!outline) return outline.problem();
  proof.drawn_ = MeasuredOutline(outline->net.path, outline->net.edge);
  proof.path_ = std::move(outline->net.path);
  if (const std::optional<std::size_t> fold = fold_edge(drawn)) {
    const Vec2 from = start_of(drawn.edges[*fold].chain.curves().front());
    const Vec2 to = end_of(drawn.edges[*fold].chain.curves().back());
    proof.fold_ = Mirror{from, unit(to - from)};
  }
  return proof;
}

Vec2 NetProof::on_drawn_half(Vec2 place) const {
  return fold_ && fold_->side(place) < 0.0 ? (*fold_)(place) : place;
}

Status NetProof::holds(const PieceSpec& spec, const std::vector<BoundEdge>& net) const {
  Result<GradedPiece> made = outlined(*piece_, net);
  if (!made) return made.problem();
  if (Status fits = apply_allowances(spec, allowances_, *made); !fits) {
    Problem problem = fits.problem();
    problem.message = "the allowances cannot be added to the net line recovered from the drawn cut line: " +
                      problem.message;
    return problem;
  }
  const HausdorffResult apart = hausdorff(drawn_, MeasuredOutline(made->cut.path, made->cut.edge));
  if (apart.value <= most_apart()) return Done{};
  const auto worst =
      std::max_element(apart.labels.begin(), apart.labels.end(),
                       [](const LabelDistance& a, const LabelDistance& b) { return a.value < b.value; });
  const BoundEdge& edge = piece_->edges[static_cast<std::size_t>(worst - apart.labels.begin())];
  const Vec2 at = on_drawn_half(worst->from);
  Problem problem{
      Trouble::kGeometry,
      fmt::format(
          "no net line with these allowances has the drawn cut line: at ({:.3f}, {:.3f}) it would be "
          "{:.3f} mm off; draw its corners as their forms make them (full or mitre unless stated; a mitre or "
          "a step leaves a tenth of each edge that it cuts back), state the forms that are drawn, or draw the "
          "net line",
          at.x, at.y, worst->value),
      {},
      worst->value,
      tolerance::kOffset.value()};
  return problem.in("edge", edge.spec.name);
}

std::optional<std::vector<double>> NetProof::apart(const PieceSpec& spec,
                                                   const std::vector<BoundEdge>& net) const {
  Result<GradedPiece> made = outlined(*piece_, net);
  if (!made || !allowances_fit(spec, allowances_, *made)) return std::nullopt;
  if (!apply_allowances(spec, allowances_, *made)) return std::nullopt;
  std::vector<double> by_corner(net.size(), 0.0);
  const auto note = [&](Vec2 place, double off) {
    if (off <= most_apart()) return;
    const Vec2 here = on_drawn_half(place);
    std::size_t nearest = 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t e = 0; e < net.size(); ++e) {
      const double away = distance(here, start_of(net[e].chain.curves().front()));
      if (away >= least) continue;
      least = away;
      nearest = e;
    }
    by_corner[nearest] = std::max(by_corner[nearest], off);
  };
  const MeasuredOutline cut(made->cut.path, made->cut.edge);
  at_each_place(made->cut.path, [&](Vec2 p) { note(p, drawn_.nearest(p).distance); });
  at_each_place(path_, [&](Vec2 p) { note(p, cut.nearest(p).distance); });
  return by_corner;
}

bool NetProof::same(const std::vector<BoundEdge>& one, const std::vector<BoundEdge>& two) const {
  const Result<GradedPiece> a = outlined(*piece_, one);
  const Result<GradedPiece> b = outlined(*piece_, two);
  if (!a || !b) return false;
  return hausdorff(MeasuredOutline(a->net.path, a->net.edge), MeasuredOutline(b->net.path, b->net.edge))
             .value <= most_apart();
}

}  // namespace lastwright
