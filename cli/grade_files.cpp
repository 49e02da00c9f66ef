#include "cli/grade_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <mutex>

#include "cli/csv.hpp"
#include "cli/parallel.hpp"
#include "cli/piece_files.hpp"
#include "cli/progress.hpp"
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

std::vector<Job> piece_jobs(const StyleGrade& grade, const GradeSelection& selection) {
  const std::vector<std::string> names = piece_names(grade);
  std::vector<Job> jobs;
  for (const std::size_t piece : selection.pieces) {
    for (const std::size_t size : selection.sizes) {
      for (const std::size_t width : selection.widths) {
        const std::size_t cell = grade.cell(size, width);
        jobs.push_back({piece, cell, fmt::format("pieces/{0}/{0} {1}", names[piece], cell_name(grade, cell))});
      }
    }
  }
  return jobs;
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
    const Sheet sheet = sheet_of(*piece, options.sheet);
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
