#include "grading/planning/strip_pieces.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <numbers>

#include "geometry/counted.hpp"
#include "geometry/lattice/outer_polygon.hpp"
#include "grading/planning/roll_rows.hpp"

namespace lastwright {

namespace {

constexpr double kQuarter = 0.5 * std::numbers::pi;  // turn, in radians

// The gap need not be kept to the edges of the strip.
StripSize size_along(const MaterialSpec& material) {
  StripSize size{*material.width + material.lay.gap, 0.0};
  if (material.bought_as == BoughtAs::kSheets) size.length = *material.length + material.lay.gap;
  return size;
}

StripSize size_across(const MaterialSpec& material) {
  const StripSize along = size_along(material);
  return {along.length, along.width};
}

// Turned by a quarter, one mirror line becomes the other.
std::vector<LatticeKind> quarter_turned(std::vector<LatticeKind> kinds) {
  for (LatticeKind& kind : kinds) {
    if (kind == LatticeKind::kMirrored) {
      kind = LatticeKind::kMirroredHalfTurned;
    } else if (kind == LatticeKind::kMirroredHalfTurned) {
      kind = LatticeKind::kMirrored;
    }
  }
  return kinds;
}

Result<LatticeShape> quarter_turned(const ClosedArcPath& outline, double gap) {
  const Result<ClosedArcPath> grown = grown_by_half(placed(outline, Radians(kQuarter), {}), Millimetres(gap));
  if (!grown) return grown.problem();
  return lattice_shape(*grown, Millimetres(0.05));
}

// Second pieces, half turned or mirrored, reach as far from their middles.
double reach_along(const Polygon& polygon) {
  const Box2 box = bounds(polygon);
  return 2.0 * std::max(-box.low.x, box.high.x);
}

bool is_across(const StripPiece& piece) {
  if (piece.lay_across.rows.empty()) return false;
  return piece.lay.rows.empty() || piece.lay_across.held > piece.lay.held;
}

// As many by their boxes as there is room for.
StripRows box_rows(const StripPiece& piece, double width) {
  constexpr double kRounding = 1e-9;  // of a row
  StripRows rows{piece.turn, LatticeKind::kTranslated, piece.box.x, {}, piece.box.x, true};
  const auto count = static_cast<int>(width / piece.box.y + kRounding);
  for (int k = 0; k < count; ++k) rows.rows.push_back({0.0, (k - 0.5 * (count - 1)) * piece.box.y, false});
  return rows;
}

}  // namespace

Result<StripPiece> strip_piece(const GradedPiece& made, const PieceSpec& piece,
                               const MaterialSpec& material) {
  StripPiece strip;
  strip.material = piece.material;
  Result<LaidOutline> laid = laid_outline(made, material.lay.gap);
  if (!laid) return laid.problem();
  strip.along = std::move(laid->shape);
  strip.turn = laid->turn + (material.grain_across ? kQuarter : 0.0);
  strip.kinds = lattice_kinds_of(piece, material.lay);
  // Rows of hollow pieces may lie closer where none is half turned than by turns.
  if (material.lay.half_turned) strip.kinds.push_back(LatticeKind::kTranslated);
  const bool sheet = material.bought_as == BoughtAs::kSheets;
  if (sheet || material.grain_across) {
    Result<LatticeShape> turned = quarter_turned(laid->outline, material.lay.gap);
    if (!turned) return turned.problem();
    strip.across = *std::move(turned);
    strip.kinds_across = quarter_turned(strip.kinds);
  }
  if (material.grain_across) {
    std::swap(strip.along, *strip.across);
    std::swap(strip.kinds, strip.kinds_across);
  }
  if (!sheet) {
    const Box2 box = bounds(laid->outline);
    strip.box = {box.width() + material.lay.gap, box.height() + material.lay.gap};
    if (material.grain_across) std::swap(strip.box.x, strip.box.y);
    strip.lay = densest_in_strip(strip.along, strip.kinds, size_along(material), &strip.others);
    strip.across.reset();
    return strip;
  }
  strip.lay = densest_in_strip(strip.along, strip.kinds, size_along(material));
  strip.lay_across = densest_in_strip(*strip.across, strip.kinds_across, size_across(material));
  return strip;
}

void share_rows(const std::vector<StripPiece*>& pieces, const WorksSpec& works) {
  std::map<std::string, std::vector<StripPiece*>> of;
  for (StripPiece* piece : pieces) of[piece->material].push_back(piece);
  for (const auto& [name, family] : of) {
    const MaterialSpec& material = works.materials.at(name);
    std::vector<StripShape> along;
    std::vector<StripShape> across;
    std::vector<StripLay> lays;
    std::vector<StripLay> lays_across;
    for (StripPiece* piece : family) {
      along.push_back({&piece->along, piece->kinds});
      lays.push_back(std::move(piece->lay));
      if (piece->across) across.push_back({&*piece->across, piece->kinds_across});
      lays_across.push_back(std::move(piece->lay_across));
    }
    share_lays(along, size_along(material), lays);
    if (!across.empty()) share_lays(across, size_across(material), lays_across);
    for (std::size_t i = 0; i < family.size(); ++i) {
      family[i]->lay = std::move(lays[i]);
      family[i]->lay_across = std::move(lays_across[i]);
    }
  }
}

std::optional<StripHold> held_in_strip(const StripPiece& piece, const MaterialSpec& material) {
  const bool across = is_across(piece);
  const StripLay& lay = across ? piece.lay_across : piece.lay;
  if (lay.rows.empty()) return {};
  const LatticeKind kind = across ? quarter_turned(std::vector<LatticeKind>{lay.kind}).front() : lay.kind;
  StripHold hold;
  hold.laid = fmt::format("{}, {}{}, one every {:.1f} mm in each", laid_words(kind, material.lay),
                          counted(lay.rows.size(), "row"), across ? " across" : "", lay.period);
  hold.rows = {piece.turn + (across ? kQuarter : 0.0), lay.kind, lay.period, lay.rows,
               reach_along((across ? *piece.across : piece.along).polygon)};
  if (material.bought_as == BoughtAs::kRoll) {
    hold.per_unit = 1000.0 / lay.length_per_shape();
    hold.area = lay.length_per_shape() * *material.width;
    std::vector<StripRows> others;
    for (const StripLay& other : piece.others)
      others.push_back({piece.turn, other.kind, other.period, other.rows, hold.rows.length});
    hold.other_rows = worth_keeping(hold.rows, others, box_rows(piece, size_along(material).width));
    return hold;
  }
  hold.per_unit = lay.held;
  hold.area = *material.width * *material.length / lay.held;
  return hold;
}

}  // namespace lastwright
