#include "cli/grade_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <mutex>

#include "cli/csv.hpp"
#include "cli/parallel.hpp"
#include "cli/progress.hpp"
#include "cli/report/nest_svg.hpp"
#include "cli/safe_name.hpp"
#include "geometry/io/svg_write.hpp"
#include "grading/grade_sheet.hpp"
#include "grading/piece_sheet.hpp"

namespace lastwright {

namespace {

struct Job {
  std::size_t piece;
  std::size_t cell;
  std::string name;  // without ending
};

// File names of the pieces, kept apart even when two piece names look alike.
std::vector<std::string> piece_names(const StyleGrade& grade) {
  SafeNames names;
  std::vector<std::string> safe;
  for (const PreparedPiece& piece : grade.pieces) safe.push_back(names.claim(piece.bound.spec.name));
  return safe;
}

std::vector<Job> piece_jobs(const StyleGrade& grade, const GradeSelection& selection) {
  const std::vector<std::string> names = piece_names(grade);
  std::vector<Job> jobs;
  for (const std::size_t piece : selection.pieces) {
    for (const std::size_t size : selection.sizes) {
      for (const std::size_t width : selection.widths) {
        const std::size_t cell = grade.cell(size, width);
        jobs.push_back({piece, cell, fmt::format("pieces/{0}/{0} {1} {2}", names[piece], safe_name(grade.cells[cell].size.label),
                                                 safe_name(grade.cells[cell].width.label))});
      }
    }
  }
  return jobs;
}

// Index of the base in a list of positions, or of the nearest where it is not there.
template <class Item>
std::size_t nearest(const std::vector<Item>& items, const Item& base, const std::vector<std::size_t>& among) {
  const auto off = [&](std::size_t i) { return std::abs((items[i].position - base.position).value()); };
  return *std::min_element(among.begin(), among.end(), [&](std::size_t a, std::size_t b) { return off(a) < off(b); });
}

Result<NestOutline> nest_outline(const StyleGrade& grade, std::size_t piece, std::size_t cell, std::string label) {
  Result<GradedPiece> graded = grade.cut_piece(piece, cell);
  if (!graded) return graded.problem();
  NestOutline outline;
  outline.label = std::move(label);
  outline.path = graded->cut.path;
  return outline;
}

Result<std::string> sizes_nest(const StyleGrade& grade, const GradeSelection& selection, std::size_t piece, std::size_t width) {
  std::vector<NestOutline> outlines;
  for (const std::size_t size : selection.sizes) {
    const Size& at = grade.run.sizes[size];
    auto outline = nest_outline(grade, piece, grade.cell(size, width), at.label);
    if (!outline) return outline.problem();
    outline->is_base = at.position == grade.run.base.size.position;
    outline->minor = at.position.denominator() != 1;
    outlines.push_back(std::move(*outline));
  }
  NestOptions options;
  options.title = grade.pieces[piece].bound.spec.name;
  options.subtitle = fmt::format("sizes {} to {} in width {}, base {} {}", outlines.front().label, outlines.back().label,
                                 grade.run.widths[width].label, grade.run.base.size.label, grade.run.base.width.label);
  options.minor = "half sizes";
  options.fixed = grade.formes[grade.pieces[piece].forme].map.field().frame().origin;
  return nest_svg(outlines, options);
}

Result<std::string> widths_nest(const StyleGrade& grade, const GradeSelection& selection, std::size_t piece, std::size_t size) {
  std::vector<NestOutline> outlines;
  for (const std::size_t width : selection.widths) {
    const Width& at = grade.run.widths[width];
    auto outline = nest_outline(grade, piece, grade.cell(size, width), at.label);
    if (!outline) return outline.problem();
    outline->is_base = at.position == grade.run.base.width.position;
    outlines.push_back(std::move(*outline));
  }
  NestOptions options;
  options.title = grade.pieces[piece].bound.spec.name;
  options.subtitle = fmt::format("widths {} to {} of size {}, base {} {}", outlines.front().label, outlines.back().label,
                                 grade.run.sizes[size].label, grade.run.base.size.label, grade.run.base.width.label);
  options.smaller = "narrower";
  options.larger = "wider";
  options.fixed = grade.formes[grade.pieces[piece].forme].map.field().frame().origin;
  return nest_svg(outlines, options);
}

}  // namespace

Result<GradeFilesWritten> add_pieces(const StyleGrade& grade, const GradeSelection& selection, const GradeFilesOptions& options,
                                     OutputSet& set) {
  const std::vector<Job> jobs = piece_jobs(grade, selection);
  Progress progress("grading", options.show_progress ? jobs.size() : 0);
  std::mutex guard;
  GradeFilesWritten written;
  const Status done = run_jobs(jobs.size(), options.threads, [&](std::size_t i) -> Status {
    const Job& job = jobs[i];
    Result<GradedPiece> piece = grade.cut_piece(job.piece, job.cell);
    if (!piece) return piece.problem();
    const Sheet sheet = sheet_of(*piece);
    Result<std::string> dxf = write_dxf(sheet, options.dxf);
    if (!dxf) return dxf.problem().in("drawing", sheet.title);
    if (Status same = reread_check(*dxf, sheet, options.dxf); !same) return same.problem().in("drawing", sheet.title);
    if (Status added = set.add(job.name + ".dxf", *dxf); !added) return added;
    if (Status added = set.add(job.name + ".svg", write_svg(sheet)); !added) return added;
    progress.advance();
    const Box2 box = bounds(piece->cut.path);
    const std::scoped_lock lock(guard);
    written.longest_side = std::max({written.longest_side, box.width(), box.height()});
    return Done{};
  });
  if (!done) return done.problem();
  written.pieces = jobs.size();
  return written;
}

Status add_nests(const StyleGrade& grade, const GradeSelection& selection, const GradeFilesOptions& options, OutputSet& set) {
  const std::vector<std::string> names = piece_names(grade);
  const std::size_t width = nearest(grade.run.widths, grade.run.base.width, selection.widths);
  const std::size_t size = nearest(grade.run.sizes, grade.run.base.size, selection.sizes);
  return run_jobs(selection.pieces.size(), options.threads, [&](std::size_t i) -> Status {
    const std::size_t piece = selection.pieces[i];
    const Result<std::string> sizes = sizes_nest(grade, selection, piece, width);
    if (!sizes) return sizes.problem();
    const Result<std::string> widths = widths_nest(grade, selection, piece, size);
    if (!widths) return widths.problem();
    const std::string width_label = safe_name(grade.run.widths[width].label);
    const std::string size_label = safe_name(grade.run.sizes[size].label);
    if (Status added = set.add(fmt::format("nests/{} sizes in {}.svg", names[piece], width_label), *sizes); !added) return added;
    return set.add(fmt::format("nests/{} widths of {}.svg", names[piece], size_label), *widths);
  });
}

Status add_grade_sheet(const StyleGrade& grade, OutputSet& set) {
  Table table;
  table.name = "grade sheet";
  for (const char* title : {"on", "point", "size", "width"}) table.columns.push_back({title, 14.0, 0});
  for (const char* title : {"x, mm", "y, mm", "dx from base, mm", "dy from base, mm", "dx to next size, mm", "dy to next size, mm",
                            "dx to next width, mm", "dy to next width, mm"}) {
    table.columns.push_back({title, 12.0, 4});
  }
  for (const GradeSheetRow& row : grade_sheet(grade)) {
    std::vector<TableCell> cells;
    for (const std::string& text : {row.on, row.point, row.at.size.label, row.at.width.label}) cells.push_back({text});
    for (const Vec2 v : {row.position, row.from_base, row.per_size, row.per_width}) {
      cells.push_back({v.x});
      cells.push_back({v.y});
    }
    table.rows.push_back(std::move(cells));
  }
  return set.add("grade-sheet.csv", to_csv(table));
}

}  // namespace lastwright
