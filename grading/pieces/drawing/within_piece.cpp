#include "grading/pieces/drawing/within_piece.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr int kRim = 64;                   // points looked at round a hole
constexpr Millimetres kCutOutChord{0.01};  // as pattern_drawing tells inside from outside

}  // namespace

WithinPiece::WithinPiece(const PatternDrawing& drawing, std::size_t outline, const BoundPiece& piece)
    : drawing_(drawing), piece_(piece), shape_(drawing.contours[outline]) {
  const std::optional<std::size_t> fold = fold_edge(piece);
  if (!fold) return;
  const auto& curves = piece.edges[*fold].chain.curves();
  const Vec2 from = start_of(curves.front());
  const Vec2 to = end_of(curves.back());
  if (distance(from, to) > 0.0) fold_ = Mirror{from, unit(to - from)};
}

double WithinPiece::outside(Vec2 p, bool in_allowance) const {
  if (shape_.inside(p)) return 0.0;
  double least = INFINITY;
  double allowed = 0.0;
  for (const BoundEdge& edge : piece_.edges) {
    for (const Curve& curve : edge.chain.curves()) {
      const double off = nearest(curve, p).distance;
      if (off >= least) continue;
      least = off;
      allowed = edge.spec.allowance.value();
    }
  }
  if (in_allowance && piece_.spec.drawn == Drawn::kNet) least -= allowed;
  return std::max(0.0, least);
}

Status WithinPiece::check(const BoundHole& hole) const {
  const bool on_fold = fold_ && std::abs(fold_->side(hole.centre)) <= tolerance::kMapped.value();
  std::vector<Vec2> points{hole.centre};
  for (int i = 0; i < kRim && hole.radius > 0.0; ++i) {
    const double turn = 2.0 * std::numbers::pi * i / kRim;
    points.push_back(hole.centre + hole.radius * Vec2{std::cos(turn), std::sin(turn)});
  }
  const bool cut_out = hole.operation == Operation::kCutOut;
  return check(points, {cut_out ? "cut-out" : "hole", !cut_out, on_fold, hole.from});
}

Status WithinPiece::check(const ClosedOutline& cut_out, const DrawnFrom& from) const {
  std::vector<Vec2> points;
  for (const Curve& curve : cut_out.curves()) {
    const std::vector<Vec2> flat = flattened(curve, kCutOutChord);
    points.insert(points.end(), flat.begin(), flat.end());
  }
  return check(points, {"cut-out", false, false, from});
}

Status WithinPiece::check(const std::vector<Vec2>& points, const Thing& thing) const {
  double worst = tolerance::kOutlineChord.value();
  std::optional<Vec2> where;
  for (const Vec2 p : points) {
    double off = outside(p, thing.in_allowance);
    if (off > worst && thing.over_fold) off = std::min(off, outside((*fold_)(p), thing.in_allowance));
    if (off <= worst) continue;
    worst = off;
    where = p;
  }
  if (!where) return Done{};
  const bool apart = std::none_of(points.begin(), points.end(), [&](Vec2 p) { return shape_.inside(p); });
  const bool through_fold = fold_ && !apart && shape_.holds((*fold_)(*where));
  Problem problem{Trouble::kGeometry, "", {}, worst, tolerance::kOutlineChord.value()};
  if (through_fold) {
    problem.message = fmt::format(
        "a {} crosses the fold at {}, so it would be cut twice; draw it beside the fold, or as a circle "
        "whose "
        "centre is on it",
        thing.what, drawn_place(drawing_, *where));
  } else if (apart) {
    problem.message =
        fmt::format("a {} lies outside its piece, at {}", thing.what, drawn_place(drawing_, *where));
  } else {
    problem.message = fmt::format("a {} crosses the outline of its piece: it reaches over it at {}",
                                  thing.what, drawn_place(drawing_, *where));
  }
  problem.place.line = thing.from.line;
  problem.place.named.emplace_back("layer", thing.from.layer);
  return problem;
}

}  // namespace lastwright
