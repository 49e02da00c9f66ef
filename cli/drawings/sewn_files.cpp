#include "cli/drawings/sewn_files.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/counted.hpp"
#include "geometry/io/sewn/sewn_layers.hpp"
#include "geometry/parallel.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

const char* const kProduct = "Lastwright";

// Where the moves start from: the base, or the cell nearest to it in the selection.
std::size_t start_of(const StyleGrade& grade, const std::vector<std::size_t>& cells) {
  const auto off = [&](std::size_t cell) {
    const SizeWidth& at = grade.cells[cell];
    return std::abs((at.size.position - grade.run.base.size.position).value()) +
           std::abs((at.width.position - grade.run.base.width.position).value());
  };
  const auto nearest = std::min_element(cells.begin(), cells.end(),
                                        [&](std::size_t a, std::size_t b) { return off(a) < off(b); });
  return static_cast<std::size_t>(nearest - cells.begin());
}

std::string label(const StyleGrade& grade, std::size_t cell) {
  return label_of(grade.cells[cell]);
}

SewnNotes notes_of(const PieceSpec& spec) {
  SewnNotes notes;
  for (const EdgeSpec& edge : spec.edges) notes.edges.push_back(edge.name);
  if (!spec.material.empty()) notes.texts.push_back(sewn::kMaterial + spec.material);
  notes.texts.push_back(fmt::format("{}{}", sewn::kQuantity, spec.per_pair));
  return notes;
}

Result<std::vector<GradedPiece>> sizes_of(const StyleGrade& grade, std::size_t piece,
                                          const std::vector<std::size_t>& cells) {
  std::vector<GradedPiece> sizes;
  for (const std::size_t cell : cells) {
    Result<GradedPiece> graded = grade.cut_piece(piece, cell);
    if (!graded) return graded.problem();
    sizes.push_back(std::move(*graded));
  }
  return sizes;
}

// What was read back against the pieces, which lie in it size by size.
Result<SewnFit> fit_of_all(const StyleGrade& grade, const GradeSelection& selection,
                           const std::vector<std::size_t>& cells, const std::vector<SewnPiece>& drawn,
                           unsigned threads) {
  std::vector<SewnFit> fits(selection.pieces.size());
  const Status done = run_jobs(fits.size(), threads, [&](std::size_t i) -> Status {
    const Result<std::vector<GradedPiece>> sizes = sizes_of(grade, selection.pieces[i], cells);
    if (!sizes) return sizes.problem();
    for (std::size_t k = 0; k < cells.size(); ++k) {
      Result<SewnFit> one = fit_of(drawn[i * cells.size() + k], (*sizes)[k], fits[i]);
      if (!one) return one.problem();
      fits[i] = *std::move(one);
    }
    return Done{};
  });
  if (!done) return done.problem();
  SewnFit worst;
  for (const SewnFit& fit : fits) worst.add(fit);
  return worst;
}

}  // namespace

Result<SewnFilesWritten> add_sewn_files(const StyleSpec& style, const StyleGrade& grade,
                                        const GradeSelection& selection, const SewnFilesOptions& options,
                                        OutputSet& set) {
  const std::vector<std::size_t>& cells = selection.cells;
  const std::size_t start = start_of(grade, cells);
  SewnOptions how;
  how.tolerance = options.tolerance;
  how.dense = Millimetres(std::min(how.dense.value(), 0.2 * options.tolerance.value()));
  std::vector<SewnSet> made(selection.pieces.size());
  const Status done = run_jobs(made.size(), options.threads, [&](std::size_t i) -> Status {
    const std::size_t piece = selection.pieces[i];
    const Result<std::vector<GradedPiece>> sizes = sizes_of(grade, piece, cells);
    if (!sizes) return sizes.problem();
    Result<SewnSet> one = sewn_set(*sizes, start, notes_of(grade.pieces[piece].bound.spec), how);
    if (!one) return one.problem();
    made[i] = std::move(*one);
    return Done{};
  });
  if (!done) return done.problem();

  SewnDrawing drawing;
  drawing.style = {style.name,       kProduct, style.works, options.date, label(grade, cells[start]),
                   "grade-rules.txt"};
  GradeRuleTable table;
  table.base = label(grade, cells[start]);
  for (const std::size_t cell : cells) table.sizes.push_back(label(grade, cell));
  SewnFilesWritten written;
  for (SewnSet& one : made) {
    std::move(one.pieces.begin(), one.pieces.end(), std::back_inserter(drawing.pieces));
    std::move(one.rules.begin(), one.rules.end(), std::back_inserter(table.rules));
    written.unruled += one.unruled;
  }
  written.blocks = drawing.pieces.size();
  written.rules = table.rules.size();
  const Result<std::string> dxf = write_sewn_dxf(drawing);
  if (!dxf) return dxf.problem();
  const Result<std::string> rules = write_grade_rules(table);
  if (!rules) return rules.problem();

  const Result<SewnDrawing> drawing_again = read_sewn_dxf(*dxf);
  if (!drawing_again) return drawing_again.problem();
  const Result<GradeRuleTable> rules_again = read_grade_rules(*rules);
  if (!rules_again) return rules_again.problem();
  const Result<RegradeCheck> regraded = regrade(drawing_again->pieces, *rules_again);
  if (!regraded) return regraded.problem();
  written.regraded = *regraded;
  // A place, its base and the move between them, each rounded to the grid in both coordinates.
  constexpr double kLimit = 3.0 * tolerance::kDrawingGrid.value();
  if (!(written.regraded.largest <= kLimit) || drawing_again->pieces.size() != drawing.pieces.size()) {
    return Problem{Trouble::kInternal,
                   "the sewn-products drawing does not follow its own rules at " + regraded->where,
                   {},
                   regraded->largest,
                   kLimit};
  }
  if (drawing_again->style != drawing.style)
    return Problem{Trouble::kInternal, "the texts of the style are not read back as written", {}, {}, {}};
  Result<SewnFit> fit = fit_of_all(grade, selection, cells, drawing_again->pieces, options.threads);
  if (!fit) return fit.problem();
  // Points moved by the rules lie this far from where they were measured.
  for (double* off : {&fit->straight, &fit->smooth}) *off += regraded->largest;
  written.tolerance = options.tolerance;
  written.fit = *fit;
  const double off = std::max({fit->straight, fit->smooth, fit->dense});
  if (!(off <= options.tolerance.value() + kSewnFit)) {
    return Problem{
        Trouble::kGeometry,
        "the points of the sewn-products drawing do not follow the outline within its tolerance at " +
            fit->where + "; give a larger --sewn-tolerance, or leave the piece to --profile die",
        {},
        off,
        options.tolerance.value()};
  }
  if (Status added = set.add("sewn/pieces.dxf", *dxf); !added) return added.problem();
  if (Status added = set.add("sewn/grade-rules.txt", *rules); !added) return added.problem();
  return written;
}

std::string sewn_text(const SewnFilesWritten& w) {
  std::string text = fmt::format(
      "  sewn-products profile: {}, {}; read back and graded again by the rules, it differs "
      "from the graded pieces by at most:\n    {:.4f} mm with straight lines from one numbered point to the "
      "next, {:.4f} mm with splines through them (limit {:g}), worst at {}\n    {:.4f} mm on the dense "
      "curves; {:.6f} mm at {} themselves",
      counted(w.blocks, "block"), counted(w.rules, "rule"), w.fit.straight, w.fit.smooth, w.tolerance.value(),
      w.fit.where, w.fit.dense, w.regraded.largest, counted(w.regraded.points, "numbered point"));
  if (!w.regraded.where.empty() && w.regraded.largest > 0.0) text += " at " + w.regraded.where;
  text += '\n';
  if (w.unruled > 0)
    text +=
        "  " +
        counted(
            w.unruled,
            "point has no rule: its line has other corners, or their number changes, in some size\n",
            "points have no rule: their lines have other corners, or their number changes, in some size\n");
  return text;
}

}  // namespace lastwright
