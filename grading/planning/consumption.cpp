#include "grading/planning/consumption.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>
#include <tuple>

#include "geometry/counted.hpp"
#include "geometry/parallel.hpp"
#include "grading/planning/material_notes.hpp"
#include "grading/planning/pair_cost.hpp"
#include "grading/planning/strip_pieces.hpp"
#include "grading/readings/statistics.hpp"

namespace lastwright {

namespace {

using OrderedCell = std::pair<std::size_t, std::size_t>;  // style, cell

std::size_t cell_of(const StyleGrade& grade, const OrderLine& line) {
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    if (grade.cells[k].size.label == line.size && grade.cells[k].width.label == line.width) return k;
  }
  return grade.run_cells();
}

std::map<OrderedCell, int> pairs_by_cell(const Order& order, const std::vector<OrderedStyle>& styles) {
  std::map<OrderedCell, int> pairs;
  for (const OrderLine& line : order.lines) {
    for (std::size_t s = 0; s < styles.size(); ++s) {
      if (styles[s].name == line.style) pairs[{s, cell_of(*styles[s].grade, line)}] += line.pairs;
    }
  }
  return pairs;
}

AreaSelection ordered_of(const std::map<OrderedCell, int>& pairs, std::size_t style,
                         const StyleGrade& grade) {
  AreaSelection selection;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) selection.pieces.push_back(p);
  for (const auto& [at, count] : pairs) {
    if (at.first == style) selection.cells.push_back(at.second);
  }
  return selection;
}

Problem at_cell(Problem problem, const OrderedStyle& style, const ScaleArea& area) {
  const SizeWidth& at = style.grade->cells[area.cell];
  return problem.in("width", at.width.label)
      .in("size", at.size.label)
      .in("piece", style.grade->pieces[area.piece].bound.spec.name);
}

// Symmetric pieces and those turned over serve both feet.
RollPieces hands_of(const PieceSpec& piece) {
  if (piece.hand != Hand::kHanded) return {0, 0, piece.per_pair};
  return {piece.per_pair - piece.per_pair / 2, piece.per_pair / 2, 0};
}

// In rows on a roll or a sheet, found for the piece alone.
Result<StripPiece> in_strip(const OrderedStyle& style, const ScaleArea& area, const MaterialSpec& material) {
  const Result<GradedPiece> made = style.grade->outlined_piece(area.piece, area.cell);
  if (!made) return made.problem();
  const PieceSpec& spec = style.grade->pieces[area.piece].bound.spec;
  Result<StripPiece> piece = strip_piece(*made, spec, material);
  if (!piece) return at_cell(piece.problem(), style, area);
  return piece;
}

Status take_strip(const OrderedStyle& style, const ScaleArea& area, const MaterialSpec& material,
                  const StripPiece& piece, PieceNeed& need) {
  const std::optional<StripHold> hold = held_in_strip(piece, material);
  if (!hold) {
    const bool wide = material.bought_as == BoughtAs::kRoll ||
                      bounds(piece.along.polygon).height() > *material.width + material.lay.gap;
    return at_cell(
        {Trouble::kBadValue,
         fmt::format("the piece does not lie within the {} of {}", wide ? "width" : "length", need.material),
         {},
         {},
         wide ? *material.width : *material.length},
        style, area);
  }
  need.per_unit = hold->per_unit;
  need.material_area = hold->area;
  need.laid = hold->laid;
  need.rows = hold->rows;
  need.other_rows = hold->other_rows;
  if (material.bought_as == BoughtAs::kRoll) need.on_roll = need.on_roll_of(need.pairs);
  return Done{};
}

Status fill(const OrderedStyle& style, const ScaleArea& area, const MaterialSpec& material, PieceNeed& need) {
  need.net = area.net;
  need.scale = area.scale();
  need.laid = laid_words(area.lattice.kind, material.lay);
  switch (material.bought_as) {
    case BoughtAs::kPieces:
      need.laid = "ready cut";
      need.ready_cut = true;
      return Done{};
    case BoughtAs::kRoll:
    case BoughtAs::kSheets:
      return Done{};  // in take_strip
    case BoughtAs::kHides:
      break;
  }
  if (!material.hide) return Done{};
  const double held = held_by_law(*material.hide, area);
  if (held < 1.0) {
    return at_cell(
        {Trouble::kBadValue,
         fmt::format("by its area and edge the hide of {} holds less than one of the piece", need.material),
         {},
         held,
         1.0},
        style, area);
  }
  need.per_unit = held;
  need.material_area = material.hide->area / held;
  return Done{};
}

std::optional<double> bought(const std::optional<double>& area, const MaterialSpec& material) {
  if (!area) return {};
  return *area * material.bought_over_taken();
}

std::optional<PastCoefficient> past_of(const MaterialSpec& material) {
  if (material.past.empty()) return {};
  std::vector<double> ratios;
  for (const PastUse& lot : material.past) ratios.push_back(lot.used / lot.scale);
  const Summary summary = summarise(ratios, 0.95);
  return PastCoefficient{summary.count, summary.mean, summary.mean_low, summary.mean_high};
}

void add_to(std::optional<double>& sum, const std::optional<double>& part, double times, bool first) {
  if (first) {
    if (part) sum = *part * times;
  } else if (sum && part) {
    *sum += *part * times;
  } else {
    sum.reset();
  }
}

// Of hides, metres or sheets, what is bought for one piece.
std::optional<double> units_of_one(const PieceNeed& piece, const MaterialSpec& material) {
  if (!piece.per_unit) return {};
  return material.bought_over_taken() / *piece.per_unit;
}

// What is bought for all pieces of a need: on a roll in whole rows.
std::optional<double> units_of_all(const PieceNeed& piece, const MaterialSpec& material) {
  if (piece.on_roll) return material.bought_over_taken() * piece.on_roll->length / 1000.0;
  const std::optional<double> one = units_of_one(piece, material);
  if (!one) return {};
  return *one * piece.pieces;
}

std::optional<double> area_of_all(const PieceNeed& piece, const MaterialSpec& material) {
  if (piece.on_roll) return piece.on_roll->length * *material.width;
  if (!piece.material_area) return {};
  return *piece.material_area * piece.pieces;
}

std::vector<MaterialNeed> materials_of(const std::vector<PieceNeed>& pieces, const WorksSpec& works) {
  std::map<std::string, MaterialNeed> materials;
  std::map<std::string, std::set<std::string>> names;  // of the pieces of each
  std::map<std::string, double> whole;                 // units, each kind by itself
  for (const PieceNeed& piece : pieces) {
    names[piece.material].insert(piece.piece);
    const bool first = materials.count(piece.material) == 0;
    MaterialNeed& need = materials[piece.material];
    need.name = piece.material;
    const MaterialSpec& spec = material_spec(works, piece.material);
    need.bought_as = spec.bought_as;
    need.pieces += piece.pieces;
    need.net += piece.net * piece.pieces;
    need.scale += piece.scale * piece.pieces;
    add_to(need.material_area, area_of_all(piece, spec), 1.0, first);
    add_to(need.units, units_of_all(piece, spec), 1.0, first);
    if (piece.per_unit) whole[piece.material] += std::ceil(piece.pieces / *piece.per_unit - 1e-9);
  }
  std::vector<MaterialNeed> all;
  for (auto& [name, need] : materials) {
    const MaterialSpec& spec = material_spec(works, name);
    need.buy = bought(need.material_area, spec);
    if (!need.ready_cut()) need.past = past_of(spec);
    need.stated = works.materials.count(name) > 0;
    need.notes = material_notes(need, names.at(name), whole[name], works);
    need.area_rests_on = area_note(spec);
    need.zones = zone_note(name, names.at(name), works);
    all.push_back(std::move(need));
  }
  return all;
}

std::vector<PairNeed> more_pairs(const std::vector<PieceNeed>& pieces, const WorksSpec& works) {
  std::vector<PairNeed> more;
  std::map<std::tuple<std::string, std::string, std::string, std::string>, std::size_t> at;
  for (const PieceNeed& piece : pieces) {
    const auto [found, first] =
        at.emplace(std::tuple(piece.style, piece.size, piece.width, piece.material), more.size());
    const MaterialSpec& material = material_spec(works, piece.material);
    if (first) {
      more.push_back({piece.style, piece.size, piece.width, piece.material});
      more.back().pairs = piece.pairs;
      more.back().bought_as = material.bought_as;
    }
    PairNeed& need = more[found->second];
    const double per_pair = static_cast<double>(piece.pieces) / piece.pairs;
    need.net += piece.net * per_pair;
    need.scale += piece.scale * per_pair;
    add_to(need.buy, bought(piece.material_area, material), per_pair, first);
    add_to(need.buy_all, bought(area_of_all(piece, material), material), 1.0, first);
    if (material.bought_as == BoughtAs::kPieces) {
      need.units = need.units.value_or(0.0) + per_pair;
      need.units_all = need.units_all.value_or(0.0) + piece.pieces;
    } else {
      add_to(need.units_all, units_of_all(piece, material), 1.0, first);
      add_to(need.units, units_of_one(piece, material), per_pair, first);
    }
  }
  return more;
}

}  // namespace

RollLay PieceNeed::on_roll_of(int so_many) const {
  return laid_on_roll({*rows, other_rows}, of_pair, so_many);
}

double held_by_law(const HideSpec& hide, const ScaleArea& area) {
  return (hide.area - hide.perimeter * area.hull_perimeter / (2.0 * std::numbers::pi) +
          (1.0 - static_cast<double>(hide.holes)) * area.hull_area) /
         area.scale();
}

std::size_t outlines_of(const Order& order, const std::vector<OrderedStyle>& styles) {
  const std::map<OrderedCell, int> pairs = pairs_by_cell(order, styles);
  std::size_t count = 0;
  for (std::size_t s = 0; s < styles.size(); ++s)
    count += outlines_of(*styles[s].grade, ordered_of(pairs, s, *styles[s].grade));
  return count;
}

Result<Needs> needs_of(const Order& order, const std::vector<OrderedStyle>& styles, const WorksSpec& works,
                       const NeedsOptions& options) {
  Needs needs;
  needs.pairs = order.pairs;
  const std::map<OrderedCell, int> pairs = pairs_by_cell(order, styles);
  ScaleAreaOptions laying;
  for (const auto& [name, material] : works.materials) laying.materials[name] = material.lay;
  laying.bounds = false;  // they are in no figure of an order
  laying.threads = options.threads;
  laying.advance = options.advance;
  struct Row {
    std::size_t style;
    ScaleArea area;
  };
  std::vector<Row> rows;
  for (std::size_t s = 0; s < styles.size(); ++s) {
    const StyleGrade& grade = *styles[s].grade;
    const AreaSelection selection = ordered_of(pairs, s, grade);
    if (selection.cells.empty()) continue;
    const Result<ScaleAreas> areas = scale_areas(grade, selection, laying);
    if (!areas) return areas.problem();
    needs.lattices += outlines_of(grade, selection);
    for (const std::vector<ScaleArea>& piece : *areas) {
      for (const ScaleArea& area : piece) rows.push_back({s, area});
    }
  }
  needs.pieces.resize(rows.size());
  std::vector<std::optional<StripPiece>> strips(rows.size());
  const Status done = run_jobs(rows.size(), options.threads, [&](std::size_t r) -> Status {
    const OrderedStyle& style = styles[rows[r].style];
    const ScaleArea& area = rows[r].area;
    const PieceSpec& spec = style.grade->pieces[area.piece].bound.spec;
    const SizeWidth& at = style.grade->cells[area.cell];
    PieceNeed& need = needs.pieces[r];
    need.style = style.name;
    need.piece = spec.name;
    need.size = at.size.label;
    need.width = at.width.label;
    need.material = spec.material;
    need.pairs = pairs.at({rows[r].style, area.cell});
    need.pieces = need.pairs * spec.per_pair;
    need.of_pair = hands_of(spec);
    const MaterialSpec& material = material_spec(works, spec.material);
    if (material.in_strips()) {
      Result<StripPiece> strip = in_strip(style, area, material);
      if (!strip) return strip.problem();
      strips[r] = *std::move(strip);
    }
    return fill(style, area, material, need);
  });
  if (!done) return done.problem();
  std::vector<StripPiece*> all_strips;
  for (std::optional<StripPiece>& strip : strips) {
    if (strip) all_strips.push_back(&*strip);
  }
  share_rows(all_strips, works);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    if (!strips[r]) continue;
    const MaterialSpec& material = material_spec(works, needs.pieces[r].material);
    const Status taken =
        take_strip(styles[rows[r].style], rows[r].area, material, *strips[r], needs.pieces[r]);
    if (!taken) return taken.problem();
  }
  needs.materials = materials_of(needs.pieces, works);
  needs.more = more_pairs(needs.pieces, works);
  needs.costs = pair_costs(needs.more, works);
  needs.currency = works.currency;
  return needs;
}

}  // namespace lastwright
