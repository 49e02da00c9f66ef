#include "cli/drawings/plot_pdf.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <optional>

#include "cli/drawings/roll_fill.hpp"
#include "cli/report/piece_caption.hpp"
#include "cli/report/skive_labels.hpp"
#include "geometry/io/paper/sheet_place.hpp"
#include "geometry/io/paper/shelf_layout.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/lay.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

constexpr double kApart = 8.0;  // mm round each page's drawings, and between two

struct PageRoom {
  double width;
  double length;  // of a roll as much as is drawn
};

PageRoom room_of(const PdfOptions& options) {
  const TileOptions& tiles = options.tiles;
  return {options.paper.width - 2.0 * tiles.margin - kApart,
          options.paper.height - 2.0 * tiles.margin - tiles.strip - kApart};
}

// By a quarter where it has no grain line and then lies lower across the paper, or fits it at all.
Sheet turned_to_room(const RollDrawing& drawing, const PageRoom& room) {
  const Box2 box = shape_bounds(drawing.sheet);
  const bool lower = box.height() > box.width() && box.height() <= room.width && box.width() <= room.length;
  if (drawing.grain || !lower) return drawing.sheet;
  Sheet sheet = placed(drawing.sheet, Radians(0.5 * std::numbers::pi), {});
  sheet.title = drawing.sheet.title;
  return sheet;
}

bool less_paper(const std::vector<Sheet>& one, const std::vector<Sheet>& other) {
  if (one.size() != other.size()) return one.size() < other.size();
  const auto length = [](const std::vector<Sheet>& sheets) {
    double sum = 0.0;
    for (const Sheet& sheet : sheets) sum += shape_bounds(sheet).height();
    return sum;
  };
  return length(one) < length(other) - 1e-6;
}

Result<double> length_in_rows(const std::vector<RollDrawing>& drawings, const PageRoom& room) {
  std::vector<ShelfBox> boxes;
  for (const RollDrawing& drawing : drawings) {
    const Box2 box = shape_bounds(drawing.sheet);
    if (box.width() <= room.width) boxes.push_back({box.width(), box.height()});
  }
  const Result<ShelfLayout> layout = lay_in_shelves(boxes, {.width = room.width, .gap = kApart});
  if (!layout) return layout.problem();
  return layout->lengths.empty() ? 0.0 : layout->lengths.front();
}

// Rows of drawings across the paper, each with its title; what is larger than a page stands by itself.
Result<std::vector<Sheet>> side_by_side(const std::vector<Sheet>& sheets, const PdfOptions& options) {
  const auto [width, length] = room_of(options);
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
  const Result<ShelfLayout> layout = lay_in_shelves(boxes, {.width = width, .length = length, .gap = kApart});
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
  const auto states_material = [](const PreparedPiece& piece) { return !piece.bound.spec.material.empty(); };
  const bool materials = std::any_of(grade.pieces.begin(), grade.pieces.end(), states_material);
  std::vector<RollDrawing> drawings(jobs.size());
  const Status made = run_jobs(jobs.size(), threads, [&](std::size_t i) -> Status {
    Result<GradedPiece> piece = grade.cut_piece(jobs[i].piece, jobs[i].cell);
    if (!piece) return piece.problem();
    const GradedPiece there = laid(std::move(*piece), lay_of(grade, jobs[i].piece, jobs[i].cell));
    RollDrawing& drawing = drawings[i];
    drawing.sheet = sheet_of(there);
    LabelRoom label_room(there);
    settle_skive_texts(there, label_room, drawing.sheet.texts);
    drawing.outline = there.cut.path;
    drawing.grain = std::any_of(there.lines.begin(), there.lines.end(),
                                [](const GradedLine& line) { return line.operation == Operation::kGrain; });
    const PieceSpec& spec = grade.pieces[jobs[i].piece].bound.spec;
    const SizeWidth& at = grade.cells[jobs[i].cell];
    const std::string of = !spec.material.empty() ? spec.material + ", "
                           : materials            ? "no material stated, "
                                                  : "";
    const std::string what = fmt::format("{}, size {}, width {}:", spec.name, at.size.label, at.width.label);
    const std::string takes = fmt::format("{}{} per pair", of, spec.per_pair);
    drawing.sheet.title = what + " " + takes;
    if (options.paper.roll) drawing.caption = piece_caption(there, what, takes, label_room);
    if (advance) advance(1);
    return Done{};
  });
  if (!made) return made.problem();
  PlottedPdf plotted;
  plotted.drawings = drawings.size();
  for (const std::size_t piece : selection.pieces) {
    if (materials && !states_material(grade.pieces[piece]))
      plotted.without_material.push_back(grade.pieces[piece].bound.spec.name);
  }
  std::vector<Sheet> sheets;
  for (const RollDrawing& drawing : drawings) sheets.push_back(drawing.sheet);
  const PageRoom room = room_of(options);
  if (together || options.paper.roll) {
    std::vector<Sheet> turned;
    for (const RollDrawing& drawing : drawings) turned.push_back(turned_to_room(drawing, room));
    Result<std::vector<Sheet>> joined = side_by_side(sheets, options);
    if (!joined) return joined.problem();
    Result<std::vector<Sheet>> lower = side_by_side(turned, options);
    if (!lower) return lower.problem();
    sheets = less_paper(*lower, *joined) ? *std::move(lower) : *std::move(joined);
  }
  // What is wider than the roll is tiled by itself.
  const bool one = options.paper.roll && drawings.size() > 1 && sheets.size() == 1;
  if (one) {
    const Result<double> rows = length_in_rows(drawings, room);
    if (!rows) return rows.problem();
    plotted.in_rows = *rows;
    const double now = shape_bounds(sheets.front()).height();
    std::optional<Sheet> closer =
        roll_filled(drawings, {.width = room.width, .gap = kApart, .length = std::min(now, *rows)});
    if (closer) {
      closer->title = sheets.front().title;
      sheets.front() = *std::move(closer);
    }
    plotted.roll = shape_bounds(sheets.front()).height();
  }
  Result<std::string> pdf = write_pdf(sheets, options);
  if (!pdf) return pdf.problem();
  const Result<std::size_t> pages = pdf_pages(sheets, options);
  if (!pages) return pages.problem();
  plotted.bytes = *std::move(pdf);
  plotted.pages = *pages;
  return plotted;
}

}  // namespace lastwright
