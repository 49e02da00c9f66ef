#include "grading/grade.hpp"

#include <algorithm>
#include <set>

#include "grading/allowance.hpp"
#include "grading/unfold.hpp"

namespace lastwright {

namespace {

// The cells in which every subdivision is proved: corners, edge middles and middle of the run, and the base.
std::vector<std::size_t> probe_cells(const StyleGrade& grade) {
  const auto thirds = [](std::size_t count) { return std::set<std::size_t>{0, (count - 1) / 2, count - 1}; };
  std::vector<std::size_t> probes;
  for (const std::size_t size : thirds(grade.run.sizes.size())) {
    for (const std::size_t width : thirds(grade.run.widths.size())) probes.push_back(grade.cell(size, width));
  }
  probes.push_back(grade.base_cell());
  return probes;
}

Result<GradedForme> grade_forme(const FormeSpec& forme, const StyleGrade& grade, std::span<const std::string> measures) {
  Result<GradeMap> map = make_grade_map(forme, measures);
  if (!map) return map.problem();
  GradedForme graded{std::move(*map), {}};
  for (std::size_t k = 0; k < grade.cells.size(); ++k) {
    Result<Drivers> drivers = graded.map.drivers(grade.steps[k]);
    if (!drivers) {
      return drivers.problem().in("width", grade.cells[k].width.label).in("size", grade.cells[k].size.label);
    }
    graded.drivers.push_back(std::move(*drivers));
  }
  return graded;
}

// One product for the whole run.
Eigen::MatrixXd run_nodes(const PieceShape& shape, const std::vector<Drivers>& drivers) {
  Eigen::MatrixXd columns(shape.basis.cols(), static_cast<Eigen::Index>(drivers.size()));
  for (std::size_t k = 0; k < drivers.size(); ++k) {
    columns.col(static_cast<Eigen::Index>(k)) = Eigen::Map<const Eigen::VectorXd>(drivers[k].data(), shape.basis.cols());
  }
  Eigen::MatrixXd nodes = shape.basis * columns;
  nodes.colwise() += shape.base;
  return nodes;
}

}  // namespace

GradedPiece StyleGrade::drawn_piece(std::size_t piece, std::size_t cell) const {
  const PreparedPiece& prepared = pieces[piece];
  return shaped_piece(prepared.bound, prepared.shape, prepared.nodes.col(static_cast<Eigen::Index>(cell)), cells[cell]);
}

Result<GradedPiece> StyleGrade::cut_piece(std::size_t piece, std::size_t cell) const {
  const BoundPiece& bound = pieces[piece].bound;
  const auto placed = [&](const Problem& problem) {
    return problem.in("width", cells[cell].width.label).in("size", cells[cell].size.label);
  };
  GradedPiece cut = drawn_piece(piece, cell);
  if (bound.spec.fold) {
    const auto fold = std::find_if(bound.edges.begin(), bound.edges.end(),
                                   [&](const BoundEdge& edge) { return edge.spec.name == *bound.spec.fold; });
    Result<GradedPiece> whole = unfolded(cut, static_cast<std::uint16_t>(fold - bound.edges.begin()));
    if (!whole) return placed(whole.problem());
    cut = std::move(*whole);
  }
  if (Status fits = apply_allowances(bound.edges, bound.spec.drawn, cut); !fits) return placed(fits.problem());
  return cut;
}

Result<StyleGrade> grade_style(const StyleSpec& style, const MeasureTable& table, const SizeRun& run,
                               std::vector<BoundPiece> pieces, const ShapeOptions& options) {
  StyleGrade grade;
  grade.run = run;
  grade.cells = run.cells();
  grade.cells.push_back(run.base);
  for (const SizeWidth& at : grade.cells) {
    grade.steps.push_back({table.increments(at), (at.size - run.base.size).count.value(),
                           (at.width - run.base.width).count.value()});
  }
  std::vector<std::string> measures;
  for (const Measure& measure : table.measures()) measures.push_back(measure.name);
  for (const FormeSpec& forme : style.formes) {
    Result<GradedForme> graded = grade_forme(forme, grade, measures);
    if (!graded) return graded.problem();
    grade.formes.push_back(std::move(*graded));
  }
  const std::vector<std::size_t> probes = probe_cells(grade);
  for (BoundPiece& bound : pieces) {
    PreparedPiece prepared;
    const auto forme = std::find_if(style.formes.begin(), style.formes.end(),
                                    [&](const FormeSpec& f) { return f.name == bound.spec.forme; });
    if (forme == style.formes.end()) {
      return Problem{Trouble::kBadValue, "there is no forme named '" + bound.spec.forme + "'", {}, {}, {}}.in("piece", bound.spec.name);
    }
    prepared.forme = static_cast<std::size_t>(forme - style.formes.begin());
    const GradedForme& on = grade.formes[prepared.forme];
    std::vector<Drivers> probe_drivers;
    for (const std::size_t cell : probes) probe_drivers.push_back(on.drivers[cell]);
    Result<PieceShape> shape = make_piece_shape(bound, on.map, probe_drivers, options);
    if (!shape) return shape.problem();
    prepared.shape = std::move(*shape);
    prepared.nodes = run_nodes(prepared.shape, on.drivers);
    prepared.bound = std::move(bound);
    grade.pieces.push_back(std::move(prepared));
  }
  return grade;
}

}  // namespace lastwright
