#include "cli/drawings/grade_files.hpp"

#include <fmt/format.h>

#include <array>

#include "cli/drawings/piece_files.hpp"
#include "cli/progress.hpp"
#include "cli/report/skive_labels.hpp"
#include "cli/tables/csv.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_write.hpp"
#include "geometry/parallel.hpp"
#include "grading/features/nick_merge.hpp"
#include "grading/grade/grade_sheet.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

// By piece and cell: the name of its files without ending; empty where it is not selected.
std::vector<std::vector<std::string>> file_names(const StyleGrade& grade, const GradeSelection& selection) {
  const std::vector<std::vector<std::string>> names = piece_file_names(grade);
  std::vector<std::vector<std::string>> files(grade.pieces.size(),
                                              std::vector<std::string>(grade.cells.size()));
  for (const std::size_t piece : selection.pieces) {
    for (const std::size_t cell : selection.cells) files[piece][cell] = names[piece][cell];
  }
  return files;
}

Status add_piece(const GradedPiece& piece, const std::string& name, const GradeFilesOptions& options,
                 OutputSet& set) {
  Sheet sheet = sheet_of(piece, options.sheet);
  const Result<std::string> dxf = write_checked_dxf(sheet, options.dxf);
  if (!dxf) return dxf.problem().in("drawing", sheet.title);
  if (options.additions && options.additions->holds(name + ".dxf"))
    return options.additions->keep(name, *dxf, set);
  if (Status added = set.add(name + ".dxf", *dxf); !added || !options.pictures) return added;
  LabelRoom room(piece);
  settle_skive_texts(piece, room, sheet.texts);
  return set.add(name + ".svg", write_svg(sheet));
}

}  // namespace

Result<StyleLooks> add_pieces(const StyleGrade& grade, const GradeSelection& selection,
                              const GradeFilesOptions& options, const StyleLooker& looker, OutputSet& set) {
  const std::vector<std::vector<std::string>> files = file_names(grade, selection);
  const std::size_t cells = grade.cells.size();
  const std::size_t jobs = grade.pieces.size() * cells;
  Progress progress("grading", options.show_progress ? jobs : 0);
  StyleLooks looks = looker.none();
  const Status done = run_jobs(jobs, options.threads, [&](std::size_t i) -> Status {
    const std::size_t piece = i / cells;
    const std::size_t cell = i % cells;
    MadePiece made = grade.made_piece(piece, cell);
    const bool written = !files[piece][cell].empty();
    looks[piece][cell] = looker.look(made, written ? SheetTrial::kByWriting : SheetTrial::kHere);
    progress.advance();
    if (!written) return Done{};
    const Result<GradedPiece> cut = cut_of(std::move(made));
    if (!cut) return cut.problem();
    return add_piece(*cut, files[piece][cell], options, set);
  });
  if (!done) return done.problem();
  return looks;
}

Result<std::string> merged_nicks_text(const StyleGrade& grade, const GradeSelection& selection,
                                      unsigned threads) {
  const std::size_t cells = selection.cells.size();
  std::vector<std::array<std::size_t, 5>> counts(selection.pieces.size() * cells);  // merged, then NickApart
  const Status done = run_jobs(counts.size(), threads, [&](std::size_t i) -> Status {
    const Result<GradedPiece> piece =
        grade.cut_piece(selection.pieces[i / cells], selection.cells[i % cells]);
    if (!piece) return piece.problem();
    const NickedOutline nicked = merge_nicks(*piece);
    counts[i] = {nicked.merged.size()};
    for (const auto& [line, why] : nicked.apart) ++counts[i][1 + static_cast<std::size_t>(why)];
    return Done{};
  });
  if (!done) return done.problem();
  std::array<std::size_t, 5> all{};
  for (const auto& one : counts) {
    for (std::size_t k = 0; k < all.size(); ++k) all[k] += one[k];
  }
  std::string text =
      "  " + counted(all[0], "nick is part of its cut line", "nicks are part of their cut lines");
  const char* const one[] = {"is a slit", "does not end on the cut line", "runs into another nick",
                             "meets the cut line again"};
  const char* const many[] = {"are slits", "do not end on the cut line", "run into another nick",
                              "meet the cut line again"};
  for (std::size_t k = 1; k < all.size(); ++k) {
    if (all[k] > 0)
      text +=
          fmt::format("; {} {}", counted(all[k], "stays separate because it", "stay separate because they"),
                      all[k] == 1 ? one[k - 1] : many[k - 1]);
  }
  return text + "\n";
}

Status add_grade_sheet(const StyleGrade& grade, OutputSet& set) {
  constexpr int kDecimals = 4;
  CsvText csv;
  for (const char* title :
       {"on", "point", "size", "width", "x, mm", "y, mm", "dx from base, mm", "dy from base, mm",
        "dx to next size, mm", "dy to next size, mm", "dx to next width, mm", "dy to next width, mm"}) {
    csv.add(title);
  }
  csv.end_line();
  for (const GradeSheetRow& row : grade_sheet(grade)) {
    for (const std::string* text : {&row.on, &row.point, &row.at.size.label, &row.at.width.label})
      csv.add(*text);
    for (const Vec2 v : {row.position, row.from_base, row.per_size, row.per_width}) {
      csv.add(v.x, kDecimals);
      csv.add(v.y, kDecimals);
    }
    csv.end_line();
  }
  return set.add("grade-sheet.csv", std::move(csv).take());
}

}  // namespace lastwright
