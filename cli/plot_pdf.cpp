#include "cli/plot_pdf.hpp"

#include <fmt/format.h>

#include "geometry/parallel.hpp"
#include "grading/grade/lay.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

Result<PlottedPdf> plot_pdf(const StyleGrade& grade, const GradeSelection& selection,
                            const PdfOptions& options, unsigned threads) {
  struct Job {
    std::size_t piece;
    std::size_t cell;
  };
  std::vector<Job> jobs;
  for (const std::size_t piece : selection.pieces) {
    for (const std::size_t size : selection.sizes) {
      for (const std::size_t width : selection.widths) jobs.push_back({piece, grade.cell(size, width)});
    }
  }
  std::vector<Sheet> sheets(jobs.size());
  const Status made = run_jobs(jobs.size(), threads, [&](std::size_t i) -> Status {
    Result<GradedPiece> piece = grade.cut_piece(jobs[i].piece, jobs[i].cell);
    if (!piece) return piece.problem();
    sheets[i] = sheet_of(laid(std::move(*piece), lay_of(grade, jobs[i].piece, jobs[i].cell)));
    const PieceSpec& spec = grade.pieces[jobs[i].piece].bound.spec;
    const SizeWidth& at = grade.cells[jobs[i].cell];
    sheets[i].title =
        fmt::format("{}, size {}, width {}: {}{}{} per pair", spec.name, at.size.label, at.width.label,
                    spec.material, spec.material.empty() ? "" : ", ", spec.per_pair);
    return Done{};
  });
  if (!made) return made.problem();
  Result<std::string> pdf = write_pdf(sheets, options);
  if (!pdf) return pdf.problem();
  const Result<std::size_t> pages = pdf_pages(sheets, options);
  if (!pages) return pages.problem();
  return PlottedPdf{std::move(*pdf), sheets.size(), *pages};
}

}  // namespace lastwright
