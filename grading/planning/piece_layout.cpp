#include "grading/planning/piece_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <optional>
#include <set>
#include <string>

#include "geometry/io/paper/sheet_place.hpp"
#include "geometry/io/paper/shelf_layout.hpp"
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

Result<DrawnPiece> drawn(const StyleGrade& grade, const LaidPiece& laid, bool turn, bool across) {
  const Result<GradedPiece> made = grade.cut_piece(laid.piece, laid.cell);
  if (!made) return made.problem();
  const std::optional<double> grain = grain_angle(*made);
  DrawnPiece piece{sheet_of(*made), signed_area(made->cut.path), grain.has_value()};
  const std::string title = piece.sheet.title + (laid.mirrored ? " M" : "");
  piece.sheet = placed(piece.sheet, Radians(turn && grain ? -*grain : 0.0), {});
  // Mirrored in a line along x: the grain, and a nap, runs the same way on both hands.
  if (laid.mirrored) piece.sheet = placed(mirrored(piece.sheet), Radians(std::numbers::pi), {});
  if (turn && grain && across) piece.sheet = placed(piece.sheet, Radians(0.5 * std::numbers::pi), {});
  piece.sheet = placed(piece.sheet, Radians(0.0), -shape_bounds(piece.sheet).low);
  piece.sheet.title = title;
  return piece;
}

// What lies together: all, or the pieces of each material, in the order of the style's pieces.
std::vector<std::vector<std::size_t>> groups_of(const StyleGrade& grade, const std::vector<LaidPiece>& pieces,
                                                bool by_material) {
  std::vector<std::vector<std::size_t>> groups;
  std::map<std::string, std::size_t> of;
  const auto group_of = [&](const std::string& material) -> std::vector<std::size_t>& {
    const auto [found, is_new] = of.emplace(by_material ? material : "", groups.size());
    if (is_new) groups.emplace_back();
    return groups[found->second];
  };
  std::set<std::size_t> used;
  for (const LaidPiece& piece : pieces) used.insert(piece.piece);
  for (const std::size_t piece : used) group_of(grade.pieces[piece].bound.spec.material);
  for (std::size_t i = 0; i < pieces.size(); ++i)
    group_of(grade.pieces[pieces[i].piece].bound.spec.material).push_back(i);
  return groups;
}

const PieceBed& bed_of(const StyleGrade& grade, const LaidPiece& piece, const PieceLayoutOptions& options) {
  const auto own = options.beds.find(grade.pieces[piece.piece].bound.spec.material);
  return own == options.beds.end() ? options.bed : own->second;
}

// On sheets of their own, behind those that are there.
Status lay_group(const std::vector<DrawnPiece>& all, const std::vector<std::size_t>& group,
                 const PieceBed& bed, double gap, PieceLayout& result) {
  std::vector<ShelfBox> boxes;
  for (const std::size_t i : group) {
    const Box2 box = shape_bounds(all[i].sheet);
    boxes.push_back({box.height(), box.width()});
  }
  const Result<ShelfLayout> layout =
      lay_in_shelves(boxes, {.width = bed.width, .length = bed.length, .gap = gap});
  if (!layout) {
    Problem problem = layout.problem();
    const std::size_t which = std::stoul(problem.place.named.front().second) - 1;
    problem.place.named = {{"piece", all[group[which]].sheet.title}};
    return problem;
  }
  const std::size_t first = result.sheets.size();
  result.lengths.insert(result.lengths.end(), layout->lengths.begin(), layout->lengths.end());
  result.sheets.resize(result.lengths.size());
  result.beds.resize(result.lengths.size(), bed);
  result.gaps.resize(result.lengths.size(), gap);
  for (std::size_t k = 0; k < group.size(); ++k) {
    const std::size_t i = group[k];
    const ShelfPlace& place = layout->places[k];
    Sheet sheet = placed(all[i].sheet, Radians(0.0), {place.along, place.across});
    const Box2 box = shape_bounds(sheet);
    constexpr double kHeight = 3.0;  // mm of a capital
    sheet.texts.push_back({box.centre(), kHeight, Radians(0.0), all[i].sheet.title, Operation::kText});
    append(result.sheets[first + place.sheet], sheet);
    result.places[i] = {first + place.sheet, box};
  }
  return Done{};
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
    Result<DrawnPiece> one =
        drawn(grade, pieces[i], options.grain, bed_of(grade, pieces[i], options).grain_across);
    if (!one) return one.problem();
    all[i] = *std::move(one);
    if (options.advance) options.advance(1);
    return Done{};
  });
  if (!made) return made.problem();
  PieceLayout result;
  result.places.resize(all.size());
  for (const std::vector<std::size_t>& group : groups_of(grade, pieces, options.by_material)) {
    if (group.empty()) continue;
    const PieceBed& bed = bed_of(grade, pieces[group.front()], options);
    const auto own_gap = options.gaps.find(grade.pieces[pieces[group.front()].piece].bound.spec.material);
    const double gap = own_gap == options.gaps.end() ? options.gap : own_gap->second;
    if (const Status laid = lay_group(all, group, bed, gap, result); !laid) return laid.problem();
  }
  result.materials.resize(result.sheets.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    result.net += all[i].net;
    if (!all[i].has_grain) ++result.without_grain;
    std::vector<std::string>& there = result.materials[result.places[i].sheet];
    const std::string& own = grade.pieces[pieces[i].piece].bound.spec.material;
    if (std::find(there.begin(), there.end(), own) == there.end()) there.push_back(own);
  }
  for (std::size_t s = 0; s < result.sheets.size(); ++s)
    result.sheets[s].title = fmt::format("sheet {} of {}", s + 1, result.sheets.size());
  return result;
}

}  // namespace lastwright
