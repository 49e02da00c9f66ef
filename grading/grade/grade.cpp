#include "grading/grade/grade.hpp"

#include <algorithm>
#include <numeric>
#include <set>

#include "geometry/invariant.hpp"
#include "geometry/map/columns_matrix.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/grade_parts.hpp"
#include "grading/grade/held_stretches.hpp"
#include "grading/grade/net_spans.hpp"
#include "grading/pieces/drawing/same_drawn.hpp"
#include "grading/pieces/unfold.hpp"
#include "grading/style/made_as.hpp"

namespace lastwright {

namespace {

// The cells in which every subdivision is proved: corners, edge middles and middle of the run, and the base.
// Of a run that does not make every size in every width: ends and middle of the outermost and middle sizes
// and widths, and every corner, so that all that is made lies between cells that are looked at.
std::vector<std::size_t> probe_cells(const StyleGrade& grade) {
  const SizeRun& run = grade.run;
  const auto thirds = [](std::size_t count) { return std::set<std::size_t>{0, (count - 1) / 2, count - 1}; };
  std::vector<std::size_t> probes;
  const auto add = [&](std::size_t size, std::size_t width) {
    const std::size_t cell = grade.cell(size, width);
    if (std::find(probes.begin(), probes.end(), cell) == probes.end()) probes.push_back(cell);
  };
  for (const std::size_t size : thirds(run.sizes.size())) {
    const std::vector<std::size_t> widths = run.made_widths(size);
    for (const std::size_t k : thirds(widths.size())) add(size, widths[k]);
  }
  for (const std::size_t width : thirds(run.widths.size())) {
    const std::vector<std::size_t> sizes = run.made_sizes(width);
    for (const std::size_t k : thirds(sizes.size())) add(sizes[k], width);
  }
  for (const auto& [size, width] : run.corners()) add(size, width);
  for (std::size_t cell = grade.run_cells(); cell <= grade.base_cell(); ++cell) probes.push_back(cell);
  return probes;
}

}  // namespace

Result<GradedForme> grade_forme(const FormeSpec& forme, const StyleGrade& grade,
                                std::span<const std::string> measures, unsigned threads) {
  Result<GradeMap> map = make_grade_map(forme, measures);
  if (!map) return map.problem();
  GradedForme graded{std::move(*map), std::vector<Drivers>(grade.cells.size())};
  const Status solved = run_jobs(grade.cells.size(), threads, [&](std::size_t k) -> Status {
    Result<Drivers> drivers = graded.map.drivers(grade.steps[k]);
    if (!drivers)
      return drivers.problem().in("width", grade.cells[k].width.label).in("size", grade.cells[k].size.label);
    graded.drivers[k] = std::move(*drivers);
    return Done{};
  });
  if (!solved) return solved.problem();
  return graded;
}

namespace {

// One product for the whole run.
Columns run_nodes(const PieceShape& shape, const std::vector<Drivers>& drivers) {
  Columns nodes{shape.basis.rows, std::vector<double>(shape.basis.rows * drivers.size())};
  as_matrix(nodes).noalias() = as_matrix(shape.basis) * as_matrix(driver_columns(drivers));
  as_matrix(nodes).colwise() += as_vector(shape.base);
  return nodes;
}

using MadeAs = std::optional<SizeWidth>(const PieceSpec& piece, const SizeRun& run, const SizeWidth& at);

// For each cell the one that it is made as, itself where none is said. The sample keeps its own.
std::vector<std::size_t> cells_made_as(const PieceSpec& spec, const StyleGrade& grade, MadeAs& made_as) {
  std::vector<std::size_t> all(grade.cells.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    const std::optional<SizeWidth> as = made_as(spec, grade.run, grade.cells[k]);
    if (!as) continue;
    const auto there = std::find_if(grade.cells.begin(), grade.cells.end(),
                                    [&](const SizeWidth& one) { return same_cell(one, *as); });
    all[k] = static_cast<std::size_t>(there - grade.cells.begin());
  }
  return all;
}

}  // namespace

Result<PreparedPiece> prepared_piece(const StyleSpec& style, BoundPiece bound, const StyleGrade& grade,
                                     const ShapeOptions& options, const PreparedPiece* shaped) {
  PreparedPiece prepared;
  const auto forme = std::find_if(style.formes.begin(), style.formes.end(),
                                  [&](const FormeSpec& f) { return f.name == bound.spec.forme; });
  if (forme == style.formes.end()) {
    return Problem{Trouble::kBadValue, "there is no forme named '" + bound.spec.forme + "'", {}, {}, {}}.in(
        "piece", bound.spec.name);
  }
  prepared.forme = static_cast<std::size_t>(forme - style.formes.begin());
  const GradedForme& on = grade.formes[prepared.forme];
  Result<FeaturePlan> features = plan_features(style, bound.spec, *forme, grade.run);
  if (!features) return features.problem();
  prepared.features = *std::move(features);
  bound.spots = prepared.features.spots;
  if (shaped != nullptr && same_drawn(shaped->bound, bound)) {
    prepared.shape = shaped->shape;
    prepared.nodes = shaped->nodes;
  } else {
    std::vector<Drivers> probe_drivers;
    for (const std::size_t cell : probe_cells(grade)) probe_drivers.push_back(on.drivers[cell]);
    Result<PieceShape> shape = make_piece_shape(bound, on.map, probe_drivers, options);
    if (!shape) return shape.problem();
    prepared.shape = std::move(*shape);
    prepared.nodes = run_nodes(prepared.shape, on.drivers);
  }
  prepared.allowances = edge_allowances(bound.spec, grade.run);
  prepared.drawn_as = cells_made_as(bound.spec, grade, outline_made_as);
  if (!bound.spec.cut_outs_held.empty())
    prepared.cut_outs_as = cells_made_as(bound.spec, grade, cut_outs_made_as);
  prepared.bound = std::move(bound);
  return prepared;
}

Columns driver_columns(const std::vector<Drivers>& drivers) {
  Columns columns{drivers.front().size(), {}};
  columns.values.reserve(columns.rows * drivers.size());
  for (const Drivers& cell : drivers) columns.values.insert(columns.values.end(), cell.begin(), cell.end());
  return columns;
}

std::size_t StyleGrade::cell(std::size_t size, std::size_t width) const {
  const std::optional<std::size_t> made = run.cell(size, width);
  invariant(made.has_value(), "only what is made has a cell");
  return *made;
}

GradedPiece StyleGrade::drawn_piece(std::size_t piece, std::size_t cell) const {
  const PreparedPiece& prepared = pieces[piece];
  const ShapeNodes nodes = prepared.nodes.column(prepared.drawn_as[cell]);
  GradedPiece drawn = shaped_piece(prepared.bound, prepared.shape, nodes, cells[cell]);
  if (!prepared.cut_outs_as.empty()) {
    const std::size_t as = prepared.cut_outs_as[cell];
    if (as != cell) hold_cut_outs(prepared.shape, prepared.nodes.column(as), nodes, drawn);
  }
  return drawn;
}

std::vector<Millimetres> StyleGrade::allowances(std::size_t piece, std::size_t cell) const {
  const Size& size = cells[pieces[piece].drawn_as[cell]].size;
  std::vector<Millimetres> all;
  all.reserve(pieces[piece].allowances.size());
  for (const EdgeAllowance& allowance : pieces[piece].allowances) all.push_back(allowance.at(size));
  return all;
}

Problem StyleGrade::at_cell(const Problem& problem, std::size_t cell) const {
  return problem.in("width", cells[cell].width.label).in("size", cells[cell].size.label);
}

Result<GradedPiece> StyleGrade::outlined_piece(std::size_t piece, std::size_t cell) const {
  return outlined(drawn_piece(piece, cell), piece, cell);
}

Result<GradedPiece> StyleGrade::outlined(GradedPiece cut, std::size_t piece, std::size_t cell) const {
  const BoundPiece& bound = pieces[piece].bound;
  if (const std::optional<std::size_t> fold = fold_edge(bound)) {
    Result<GradedPiece> whole = unfolded(cut, static_cast<std::uint16_t>(*fold));
    if (!whole) return at_cell(whole.problem(), cell);
    cut = std::move(*whole);
  }
  const std::vector<Millimetres> outside = allowances(piece, cell);
  if (Status fits = apply_allowances(bound.spec, outside, cut); !fits) return at_cell(fits.problem(), cell);
  if (!bound.nicks.empty())
    nicks_through_allowance(cut, std::max_element(outside.begin(), outside.end())->value());
  return cut;
}

MadePiece StyleGrade::made_piece(std::size_t piece, std::size_t cell) const {
  const BoundPiece& bound = pieces[piece].bound;
  GradedPiece drawn = drawn_piece(piece, cell);
  Result<GradedPiece> whole = outlined(drawn, piece, cell);
  MadePiece made{piece, cell, std::move(drawn), std::move(whole), std::vector<PlacedFeature>{}};
  if (made.outlined && !bound.spec.features.empty()) made.features = features(piece, cell, *made.outlined);
  return made;
}

Result<GradedPiece> cut_of(MadePiece made) {
  if (!made.outlined) return made.outlined;
  if (!made.features) return made.features.problem();
  add_features(*std::move(made.features), *made.outlined);
  return std::move(made.outlined);
}

Result<GradedPiece> StyleGrade::cut_piece(std::size_t piece, std::size_t cell) const {
  Result<GradedPiece> cut = outlined_piece(piece, cell);
  if (!cut || pieces[piece].bound.spec.features.empty()) return cut;
  Result<std::vector<PlacedFeature>> placed = features(piece, cell, *cut);
  if (!placed) return placed.problem();
  add_features(*std::move(placed), *cut);
  return cut;
}

Result<std::vector<PlacedFeature>> StyleGrade::features(std::size_t piece, std::size_t cell,
                                                        const GradedPiece& graded) const {
  const PreparedPiece& prepared = pieces[piece];
  const ShapeNodes nodes = prepared.nodes.column(prepared.drawn_as[cell]);
  std::vector<Vec2> spots;
  spots.reserve(prepared.shape.spots.size());
  for (const std::uint32_t node : prepared.shape.spots) spots.push_back(shaped_point(nodes, node));
  std::optional<FoldLine> fold;
  if (prepared.features.fold) {
    const ShapePath& line = prepared.shape.edges[*prepared.features.fold];
    fold = FoldLine{shaped_point(nodes, line.front().from), shaped_point(nodes, line.back().to)};
  }
  const std::vector<Millimetres> outside = allowances(piece, cell);
  const std::vector<SmoothSpan> spans = net_spans(prepared.shape, nodes);
  Result<std::vector<PlacedFeature>> placed =
      place_features({prepared.bound.spec, prepared.features, spots, fold, graded, outside,
                      cells[prepared.drawn_as[cell]].size, spans});
  if (!placed) return at_cell(placed.problem(), cell);
  return placed;
}

StyleGrade asked_of(const MeasureTable& table, const SizeRun& run) {
  StyleGrade grade;
  grade.run = run;
  grade.cells = run.cells();
  grade.cells.insert(grade.cells.end(), run.also.begin(), run.also.end());
  grade.cells.push_back(run.base);
  for (const SizeWidth& at : grade.cells) {
    grade.steps.push_back({table.increments(at), (at.size - run.base.size).count.value(),
                           (at.width - run.base.width).count.value()});
  }
  return grade;
}

std::vector<std::string> names_of(const MeasureTable& table) {
  std::vector<std::string> names;
  for (const Measure& measure : table.measures()) names.push_back(measure.name);
  return names;
}

Result<StyleGrade> grade_style(const StyleSpec& style, const MeasureTable& table, const SizeRun& run,
                               std::vector<BoundPiece> pieces, const ShapeOptions& options,
                               unsigned threads) {
  StyleGrade grade = asked_of(table, run);
  const std::vector<std::string> measures = names_of(table);
  for (const FormeSpec& forme : style.formes) {
    FormeSpec with_held = forme;
    with_held.held = held_stretches(forme, pieces);
    Result<GradedForme> graded = grade_forme(with_held, grade, measures, threads);
    if (!graded) return graded.problem();
    grade.formes.push_back(std::move(*graded));
  }
  grade.pieces.resize(pieces.size());
  const Status prepared = run_jobs(pieces.size(), threads, [&](std::size_t p) -> Status {
    Result<PreparedPiece> one = prepared_piece(style, std::move(pieces[p]), grade, options, nullptr);
    if (!one) return one.problem();
    grade.pieces[p] = *std::move(one);
    return Done{};
  });
  if (!prepared) return prepared.problem();
  return grade;
}

}  // namespace lastwright
