#include "grading/planning/piece_layout.hpp"

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <string>

#include "geometry/io/sheet_place.hpp"
#include "geometry/io/shelf_layout.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

struct DrawnPiece {
  Sheet sheet;
  double net = 0.0;
  bool has_grain = false;
};

std::optional<double> grain_angle(const GradedPiece& piece) {
  for (const GradedLine& line : piece.lines) {
    if (line.operation != Operation::kGrain || line.path.vertices.size() < 2) continue;
    const Vec2 along = line.path.vertices.back().at - line.path.vertices.front().at;
    if (along != Vec2{}) return std::atan2(along.y, along.x);
  }
  return {};
}

Result<DrawnPiece> drawn(const StyleGrade& grade, const LaidPiece& laid, bool turn) {
  const Result<GradedPiece> made = grade.cut_piece(laid.piece, laid.cell);
  if (!made) return made.problem();
  const std::optional<double> grain = grain_angle(*made);
  DrawnPiece piece{sheet_of(*made), signed_area(made->cut.path), grain.has_value()};
  const std::string title = piece.sheet.title + (laid.mirrored ? " M" : "");
  piece.sheet = placed(piece.sheet, Radians(turn && grain ? -*grain : 0.0), {});
  // Mirrored in the line across the grain, which stays along.
  if (laid.mirrored) piece.sheet = mirrored(piece.sheet);
  piece.sheet = placed(piece.sheet, Radians(0.0), -shape_bounds(piece.sheet).low);
  piece.sheet.title = title;
  return piece;
}

}  // namespace

std::vector<LaidPiece> pieces_of_pairs(const StyleGrade& grade, const std::vector<std::size_t>& pieces,
                                       const std::vector<std::size_t>& cells, int pairs) {
  std::vector<LaidPiece> all;
  for (const std::size_t cell : cells) {
    for (const std::size_t piece : pieces) {
      const PieceSpec& spec = grade.pieces[piece].bound.spec;
      const int count = pairs == 0 ? 1 : pairs * spec.per_pair;
      for (int k = 0; k < count; ++k) all.push_back({piece, cell, spec.hand == Hand::kHanded && k % 2 == 1});
    }
  }
  return all;
}

Result<PieceLayout> lay_pieces(const StyleGrade& grade, const std::vector<LaidPiece>& pieces,
                               const PieceLayoutOptions& options) {
  std::vector<DrawnPiece> all(pieces.size());
  const Status made = run_jobs(pieces.size(), options.threads, [&](std::size_t i) -> Status {
    Result<DrawnPiece> one = drawn(grade, pieces[i], options.grain);
    if (!one) return one.problem();
    all[i] = *std::move(one);
    if (options.advance) options.advance(1);
    return Done{};
  });
  if (!made) return made.problem();
  std::vector<ShelfBox> boxes;
  for (const DrawnPiece& piece : all) {
    const Box2 box = shape_bounds(piece.sheet);
    boxes.push_back({box.height(), box.width()});
  }
  const Result<ShelfLayout> layout =
      lay_in_shelves(boxes, {.width = options.width, .length = options.length, .gap = options.gap});
  if (!layout) {
    Problem problem = layout.problem();
    const std::size_t which = std::stoul(problem.place.named.front().second) - 1;
    problem.place.named = {{"piece", all[which].sheet.title}};
    return problem;
  }
  PieceLayout result;
  result.lengths = layout->lengths;
  result.sheets.resize(layout->lengths.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const ShelfPlace& place = layout->places[i];
    Sheet sheet = placed(all[i].sheet, Radians(0.0), {place.along, place.across});
    const Box2 box = shape_bounds(sheet);
    constexpr double kHeight = 3.0;  // mm of a capital
    sheet.texts.push_back({box.centre(), kHeight, Radians(0.0), all[i].sheet.title, Operation::kText});
    append(result.sheets[place.sheet], sheet);
    result.places.push_back({place.sheet, box});
    result.net += all[i].net;
    if (!all[i].has_grain) ++result.without_grain;
  }
  for (std::size_t s = 0; s < result.sheets.size(); ++s)
    result.sheets[s].title = fmt::format("sheet {} of {}", s + 1, result.sheets.size());
  return result;
}

}  // namespace lastwright
