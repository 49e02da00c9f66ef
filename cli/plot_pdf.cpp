#include "cli/plot_pdf.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/io/sheet_place.hpp"
#include "geometry/io/shelf_layout.hpp"
#include "geometry/io/svg_canvas.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/lay.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

// Rows of drawings across the paper, each with its title; what is larger than a page stands by itself.
Result<std::vector<Sheet>> side_by_side(const std::vector<Sheet>& sheets, const PdfOptions& options) {
  constexpr double kWhite = 8.0;  // round each page's drawings, and between two
  const TileOptions& tiles = options.tiles;
  const double width = options.paper.width - 2.0 * tiles.margin - kWhite;
  const double length = options.paper.height - 2.0 * tiles.margin - tiles.strip - kWhite;
  std::vector<ShelfBox> boxes;
  std::vector<std::size_t> small;
  std::vector<Sheet> pages;
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    const Box2 box = shape_bounds(sheets[i]);
    if (box.width() > width || box.height() > length) {
      pages.push_back(sheets[i]);
      continue;
    }
    boxes.push_back({box.width(), box.height()});
    small.push_back(i);
  }
  const Result<ShelfLayout> layout = lay_in_shelves(boxes, {.width = width, .length = length, .gap = kWhite});
  if (!layout) return layout.problem();
  std::vector<Sheet> joined(layout->lengths.size());
  for (std::size_t k = 0; k < small.size(); ++k) {
    const Sheet& sheet = sheets[small[k]];
    const ShelfPlace& place = layout->places[k];
    const Vec2 shift = Vec2{place.across, place.along} - shape_bounds(sheet).low;
    const auto alone = [&](const ShelfPlace& other) { return other.sheet != place.sheet; };
    if (std::count_if(layout->places.begin(), layout->places.end(), alone) + 1 ==
        static_cast<std::ptrdiff_t>(layout->places.size())) {
      joined[place.sheet] = sheet;  // its title is the page's
      continue;
    }
    Sheet there = placed(sheet, Radians(0.0), shift);
    // No wider than the drawing, or it would run into the next one's.
    const Box2 box = shape_bounds(there);
    const double height = std::min(2.5, box.width() / std::max(1.0, text_width(sheet.title)));
    there.texts.push_back(
        {box.low - Vec2{0.0, height + 1.0}, height, Radians(0.0), sheet.title, Operation::kText});
    append(joined[place.sheet], there);
  }
  for (std::size_t s = 0; s < joined.size(); ++s) {
    if (joined[s].title.empty())
      joined[s].title = fmt::format("drawings side by side, {} of {}", s + 1, joined.size());
    pages.push_back(std::move(joined[s]));
  }
  return pages;
}

}  // namespace

Result<PlottedPdf> plot_pdf(const StyleGrade& grade, const GradeSelection& selection,
                            const PdfOptions& options, unsigned threads, bool together,
                            const std::function<void(std::size_t)>& advance) {
  struct Job {
    std::size_t piece;
    std::size_t cell;
  };
  std::vector<Job> jobs;
  for (const std::size_t piece : selection.pieces) {
    for (const std::size_t cell : selection.cells) jobs.push_back({piece, cell});
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
    if (advance) advance(1);
    return Done{};
  });
  if (!made) return made.problem();
  const std::size_t drawings = sheets.size();
  if (together || options.paper.roll) {
    Result<std::vector<Sheet>> joined = side_by_side(sheets, options);
    if (!joined) return joined.problem();
    sheets = *std::move(joined);
  }
  Result<std::string> pdf = write_pdf(sheets, options);
  if (!pdf) return pdf.problem();
  const Result<std::size_t> pages = pdf_pages(sheets, options);
  if (!pages) return pages.problem();
  return PlottedPdf{std::move(*pdf), drawings, *pages};
}

}  // namespace lastwright
