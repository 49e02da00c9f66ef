#include "grading/planning/hide_kind.hpp"

#include <algorithm>

#include "geometry/lattice/convex_parts.hpp"
#include "geometry/lattice/densest_lattice.hpp"
#include "geometry/lattice/outer_polygon.hpp"
#include "grading/planning/scale_area.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kHideRound{0.2};  // polygons round the pieces

bool grain_line(const GradedPiece& piece) {
  return std::any_of(piece.lines.begin(), piece.lines.end(),
                     [](const GradedLine& line) { return line.operation == Operation::kGrain; });
}

}  // namespace

Result<HideKind> hide_kind(const StyleGrade& grade, std::size_t piece, std::size_t cell, bool other,
                           double gap) {
  const Result<GradedPiece> made = grade.outlined_piece(piece, cell);
  if (!made) return made.problem();
  const auto at_piece = [&](const Problem& problem) {
    return problem.in("width", made->at.width.label).in("size", made->at.size.label).in("piece", made->piece);
  };
  const Result<LaidOutline> laid = laid_outline(*made, gap);
  if (!laid) return at_piece(laid.problem());
  HideKind kind;
  kind.piece = piece;
  kind.cell = cell;
  kind.mirrored = other;
  kind.lay = laid->turn;
  kind.net = signed_area(made->cut.path);
  kind.grain = grain_line(*made);
  const ClosedArcPath own = other ? reversed(mirrored(laid->outline)) : laid->outline;
  const Box2 box = bounds(own);
  kind.middle = box.centre();
  kind.length = std::max(box.width(), box.height());
  kind.outline = placed(own, Radians(0.0), -kind.middle);
  const Result<ClosedArcPath> grown = grown_by_half(kind.outline, Millimetres(gap));
  if (!grown) return at_piece(grown.problem());
  const Result<Polygon> round = outer_polygon(*grown, kHideRound);
  if (!round) return at_piece(round.problem());
  Result<std::vector<Polygon>> parts = convex_parts(*round);
  if (!parts) return at_piece(parts.problem());
  kind.parts = *std::move(parts);
  return kind;
}

}  // namespace lastwright
