#include "grading/grade/lay.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

struct Fold {
  Vec2 from;  // where the edge begins
  Vec2 to;
};

Fold fold_of(const PreparedPiece& piece, std::size_t edge, std::size_t cell) {
  const auto node = [&](std::uint32_t index) {
    return shaped_point(piece.nodes.column(piece.drawn_as[cell]), index);  // as drawn_piece
  };
  const ShapePath& path = piece.shape.edges[edge];
  return {node(path.front().from), node(path.back().to)};
}

Vec2 fixed_point(const StyleGrade& grade, std::size_t piece) {
  return grade.formes[grade.pieces[piece].forme].map.field().frame().origin;
}

bool pinned_at_start(const StyleGrade& grade, std::size_t piece, std::size_t edge) {
  const Fold base = fold_of(grade.pieces[piece], edge, grade.base_cell());
  const Vec2 fixed = fixed_point(grade, piece);
  return distance(base.from, fixed) <= distance(base.to, fixed);
}

double direction(const Fold& fold) {
  return std::atan2(fold.to.y - fold.from.y, fold.to.x - fold.from.x);
}

}  // namespace

Lay lay_of(const StyleGrade& grade, std::size_t piece, std::size_t cell) {
  const PreparedPiece& prepared = grade.pieces[piece];
  const std::optional<std::size_t> edge = fold_edge(prepared.bound);
  if (!edge) return {};
  constexpr double kQuarter = std::numbers::pi / 2;  // of a turn
  const double wanted =
      kQuarter * std::round(direction(fold_of(prepared, *edge, grade.base_cell())) / kQuarter);
  const Fold fold = fold_of(prepared, *edge, cell);
  const double angle = wanted - direction(fold);
  return {Radians(angle), -turned(pinned_at_start(grade, piece, *edge) ? fold.from : fold.to, angle)};
}

std::optional<std::string> pinned_corner(const StyleGrade& grade, std::size_t piece) {
  const std::optional<std::size_t> edge = fold_edge(grade.pieces[piece].bound);
  if (!edge) return std::nullopt;
  const EdgeSpec& spec = grade.pieces[piece].bound.edges[*edge].spec;
  return pinned_at_start(grade, piece, *edge) ? spec.from : spec.to;
}

Vec2 kept_point(const StyleGrade& grade, std::size_t piece) {
  return fold_edge(grade.pieces[piece].bound) ? Vec2{} : fixed_point(grade, piece);
}

GradedPiece laid(GradedPiece piece, const Lay& lay) {
  if (lay == Lay{}) return piece;
  const auto place = [&](auto& path) { path = placed(path, lay.turn, lay.shift); };
  const auto move = [&](Vec2& p) { p = turned(p, lay.turn.value()) + lay.shift; };
  place(piece.net.path);
  place(piece.cut.path);
  for (ClosedArcPath& cut_out : piece.cut_outs) place(cut_out);
  for (GradedLine& line : piece.lines) place(line.path);
  for (GradedHole& hole : piece.holes) move(hole.centre);
  for (SheetText& text : piece.texts) {
    const Vec2 half = 0.5 * text.height * Vec2{text_width(text.text), 1.0};
    Vec2 middle = text.at + turned(half, text.angle.value());
    move(middle);
    // What a skive takes off is written along its line; everything else is set level.
    double angle = 0.0;
    if (text.operation == Operation::kSkive) {
      angle = std::remainder(text.angle.value() + lay.turn.value(), 2.0 * std::numbers::pi);
      if (std::abs(angle) > 0.5 * std::numbers::pi + 1e-9)
        angle = std::remainder(angle + std::numbers::pi, 2.0 * std::numbers::pi);
    }
    text.angle = Radians(angle);
    text.at = middle - turned(half, angle);
  }
  return piece;
}

}  // namespace lastwright
