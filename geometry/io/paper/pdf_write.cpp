#include "geometry/io/paper/pdf_write.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "geometry/io/paper/free_square.hpp"
#include "geometry/io/paper/pdf_canvas.hpp"
#include "geometry/io/paper/pdf_date.hpp"
#include "geometry/io/paper/pdf_update.hpp"
#include "geometry/io/paper/svg_write.hpp"

namespace lastwright {

namespace {

constexpr double kPagePointsPerMillimetre =
    72.0 / kMillimetresPerInch;  // 72 points an inch, by the PDF standard
constexpr double kCheckSquare = 100.0;
constexpr double kFromRim = 2.0;  // of the check square with what is kept white round it, millimetres
constexpr double kRound = 2.0;    // kept white round the check square
constexpr double kAround = 3.0;   // white round the drawing, millimetres

struct Closer {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* page) const { cairo_destroy(page); }
};

cairo_status_t append(void* text, const unsigned char* bytes, unsigned count) {
  static_cast<std::string*>(text)->append(reinterpret_cast<const char*>(bytes), count);
  return CAIRO_STATUS_SUCCESS;
}

bool overlap(const Box2& shown, const Box2& item) {
  return !item.empty() && shown.overlaps(item.grown(1.0));
}

// The direction of tightness runs both ways.
void draw_arrow_heads(PdfCanvas& canvas, const OpenArcPath& path) {
  const auto head = [&](Vec2 tip, Vec2 out) {
    for (const double side : {-1.2, 1.2}) canvas.segment(tip, tip - 4.0 * out + side * left_of(out));
  };
  head(path.vertices.front().at, -path.segment(0).tangent_at(0.0));
  head(path.vertices.back().at, path.segment(path.size() - 1).tangent_at(1.0));
}

void draw_drawing(PdfCanvas& canvas, const Sheet& sheet, const Box2& shown) {
  for (const Operation operation : all_operations()) {
    const LineStyle& style = style_of(operation);
    canvas.set(style);
    for (const SheetOutline& o : sheet.outlines) {
      if (o.operation == operation && overlap(shown, bounds(o.path))) canvas.outline(o.path);
    }
    for (const SheetLine& l : sheet.lines) {
      if (l.operation != operation || !overlap(shown, bounds(l.path))) continue;
      canvas.line(l.path);
      if (operation == Operation::kGrain && l.path.size() > 0) draw_arrow_heads(canvas, l.path);
    }
    for (const SheetHole& h : sheet.holes) {
      if (h.operation == operation) canvas.circle(h.centre, h.radius);
    }
    for (const SheetText& t : sheet.texts) {
      if (t.operation == operation) canvas.text(t.at, t.height, t.angle, t.text);
    }
  }
}

// The part of a page where nothing is glued over it.
Box2 room_of(const TilePlan& plan, const Tile& tile, double overlapping) {
  const auto gap = [&](bool joined) { return kFromRim + (joined ? overlapping : 0.0); };
  return {tile.shown.low + Vec2{gap(tile.column > 0), gap(tile.row + 1 < plan.rows)},
          tile.shown.high - Vec2{gap(tile.column + 1 < plan.columns), gap(tile.row > 0)}};
}

// Clear of the drawing where the page has room. Light sides, dark corners. Else at its foot, behind the
// drawing, and then without sides: nobody is to take one for a line to cut along. Whether it is whole.
bool draw_check_square(PdfCanvas& canvas, const Sheet& sheet, const TilePlan& plan, const Tile& tile,
                       double overlapping) {
  const double side = kCheckSquare;
  const Box2& shown = tile.shown;
  const std::optional<Vec2> free = free_square(sheet, room_of(plan, tile, overlapping), side + 2.0 * kRound);
  const double in = std::min(15.0, 0.5 * std::min(shown.width() - side, shown.height() - side));
  const Vec2 low = free ? *free + Vec2{kRound, kRound} : shown.low + Vec2{in, in};
  const Box2 square{low, low + Vec2{side, side}};
  if (free) {
    canvas.set(palette::kLightGrey, 0.1);
    canvas.rectangle(square);
  }
  canvas.set(palette::kGrey, 0.15);
  for (const double x : {0.0, side}) {
    for (const double y : {0.0, side}) {
      const Vec2 corner = low + Vec2{x, y};
      canvas.segment(corner, corner + Vec2{x == 0.0 ? 4.0 : -4.0, 0.0});
      canvas.segment(corner, corner + Vec2{0.0, y == 0.0 ? 4.0 : -4.0});
    }
  }
  // What is said of corner marks stands at the foot: here the drawing would run over it.
  if (free) canvas.text(low + Vec2{side / 2, 1.0}, 1.5, Radians(0), "check square 100 mm", 0.5);
  return free.has_value();
}

// A cross that lies on the same point of the drawing on both sheets.
void draw_join(PdfCanvas& canvas, Vec2 at) {
  canvas.segment(at - Vec2{3, 0}, at + Vec2{3, 0});
  canvas.segment(at - Vec2{0, 3}, at + Vec2{0, 3});
  canvas.circle(at, 1.5);
}

void draw_joins(PdfCanvas& canvas, const TilePlan& plan, const Tile& tile, double overlapping) {
  const LineStyle limit{"", "", palette::kGrey, 0.15, {3.0, 2.0}};
  const Box2& b = tile.shown;
  const Vec2 middle = b.centre();
  struct Neighbour {
    int row;
    int column;
    Vec2 out;  // towards it
  };
  for (const Neighbour n : {Neighbour{0, -1, {-1, 0}}, {0, 1, {1, 0}}, {-1, 0, {0, 1}}, {1, 0, {0, -1}}}) {
    const int row = tile.row + n.row;
    const int column = tile.column + n.column;
    if (row < 0 || column < 0 || row >= plan.rows || column >= plan.columns) continue;
    const double half = n.column != 0 ? b.width() / 2 : b.height() / 2;
    const double reach = n.column != 0 ? b.height() / 2 : b.width() / 2;
    const Vec2 across = left_of(n.out);
    const Vec2 inner = middle + (half - overlapping) * n.out;  // where the neighbour's page begins
    canvas.set(limit);
    canvas.segment(inner - reach * across, inner + reach * across);
    canvas.set(palette::kBlack, 0.15);
    const Vec2 centre = middle + (half - overlapping / 2) * n.out;
    for (const double share : {-0.7, 0.0, 0.7}) draw_join(canvas, centre + share * reach * across);
    canvas.set(palette::kGrey, 0.15);
    const Radians angle(n.column != 0 ? std::numbers::pi / 2 : 0.0);
    const Vec2 down{n.column != 0 ? 0.8 : 0.0, n.column != 0 ? 0.0 : -0.8};
    canvas.text(centre + 0.35 * reach * across + down, 1.7, angle,
                fmt::format("joins row {}, column {}", row + 1, column + 1), 0.5);
  }
}

void draw_strip(PdfCanvas& canvas, const TilePlan& plan, const Tile& tile, const std::string& title,
                const std::string& page, bool square, double strip) {
  const Box2& b = tile.shown;
  const double base = b.low.y - strip + 2.0;
  const std::string name = tile_name(plan, tile.row, tile.column);
  // A long title is written smaller rather than cut off.
  const double map = plan.tiles.size() > 1 ? 0.25 * b.width() : 0.0;
  const double wide = canvas.text_width(2.6, title);
  const double height = 2.6 * std::clamp((b.width() - map) / std::max(wide, 1.0), 0.4, 1.0);
  canvas.set(palette::kBlack, 0.15);
  canvas.text({b.low.x, base + 3.6}, height, Radians(0), title);
  canvas.text({b.low.x, base}, 2.2, Radians(0), name);
  canvas.set(palette::kGrey, 0.15);
  const std::string print =
      fmt::format("{}. Print at 100 %, without fitting; {}", page,
                  square ? "the check square must measure 100 mm both ways"
                         : "no room beside the drawing: the four corner marks must measure 100 mm both ways. "
                           "Do not cut along them");
  const double from = canvas.text_width(2.2, name) + 4.0;
  const double room = b.width() - map - from;
  canvas.text({b.low.x + from, base}, 2.2 * std::clamp(room / canvas.text_width(2.2, print), 0.4, 1.0),
              Radians(0), print);
  // Where this sheet lies among the others.
  const double cell = std::min(3.0, (strip - 2.0) / plan.rows);
  if (plan.rows * plan.columns > 1 && plan.columns * cell < b.width() / 4) {
    const Vec2 top_left{b.high.x - plan.columns * cell, b.low.y - 1.5};
    for (const Tile& other : plan.tiles) {
      const Vec2 low = top_left + Vec2{other.column * cell, -(other.row + 1) * cell};
      const Box2 box{low, low + Vec2{cell, cell}};
      const bool here = other.row == tile.row && other.column == tile.column;
      canvas.set(here ? palette::kBlack : palette::kGrey, 0.12);
      canvas.rectangle(box, here);
    }
  }
}

// Where the check square finds no place beside a drawing in
// the middle of a single page, the drawing moves to its left.
void make_room(const Sheet& sheet, const Box2& drawing, const TileOptions& options, TilePlan& plan) {
  if (plan.tiles.size() != 1) return;
  const Tile& middle = plan.tiles.front();
  if (free_square(sheet, room_of(plan, middle, options.overlap), kCheckSquare + 2.0 * kRound)) return;
  Tile left = middle;
  left.shown.low.x = drawing.low.x;
  left.shown.high.x = drawing.low.x + middle.shown.width();
  if (free_square(sheet, room_of(plan, left, options.overlap), kCheckSquare + 2.0 * kRound))
    plan.tiles.front() = left;
}

Result<std::vector<TilePlan>> plan_all(const std::vector<Sheet>& sheets, const PdfOptions& options) {
  if (sheets.empty()) return bad_value("there is nothing to plot");
  std::vector<TilePlan> plans;
  for (const Sheet& sheet : sheets) {
    const Box2 box = bounds(sheet);
    if (box.empty()) return bad_value(fmt::format("\"{}\" holds nothing to plot", sheet.title));
    Result<TilePlan> plan = plan_tiles(box.grown(kAround), options.paper, options.tiles);
    if (!plan) return plan.problem().in("drawing", sheet.title);
    make_room(sheet, box.grown(kAround), options.tiles, *plan);
    plans.push_back(std::move(*plan));
  }
  return plans;
}

std::size_t pages_of(const std::vector<TilePlan>& plans) {
  std::size_t pages = 0;
  for (const TilePlan& plan : plans) pages += plan.tiles.size();
  return pages;
}

}  // namespace

Result<std::size_t> pdf_pages(const std::vector<Sheet>& sheets, const PdfOptions& options) {
  const Result<std::vector<TilePlan>> plans = plan_all(sheets, options);
  if (!plans) return plans.problem();
  return pages_of(*plans);
}

Result<std::string> write_pdf(const std::vector<Sheet>& sheets, const PdfOptions& options) {
  const Result<std::vector<TilePlan>> planned = plan_all(sheets, options);
  if (!planned) return planned.problem();
  const std::vector<TilePlan>& plans = *planned;
  const std::size_t pages = pages_of(plans);

  std::string pdf;
  const std::unique_ptr<cairo_surface_t, Closer> surface(
      cairo_pdf_surface_create_for_stream(append, &pdf, plans[0].page_width * kPagePointsPerMillimetre,
                                          plans[0].page_height * kPagePointsPerMillimetre));
  cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_5);
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, options.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, pdf_creation_date().c_str());
  const std::unique_ptr<cairo_t, Closer> page(cairo_create(surface.get()));
  cairo_select_font_face(page.get(), "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_tolerance(page.get(), 0.005);  // points: 0.002 mm between an arc and the curves it becomes
  PdfCanvas canvas(page.get());

  const double margin = options.tiles.margin;
  const double strip = options.tiles.strip;
  std::size_t number = 0;
  for (std::size_t s = 0; s < sheets.size(); ++s) {
    const TilePlan& plan = plans[s];
    for (const Tile& tile : plan.tiles) {
      ++number;
      cairo_pdf_surface_set_size(surface.get(), plan.page_width * kPagePointsPerMillimetre,
                                 plan.page_height * kPagePointsPerMillimetre);
      canvas.place({tile.shown.low.x - margin, tile.shown.high.y + margin});
      canvas.clip(tile.shown);
      const bool square = draw_check_square(canvas, sheets[s], plan, tile, options.tiles.overlap);
      draw_drawing(canvas, sheets[s], tile.shown);
      draw_joins(canvas, plan, tile, options.tiles.overlap);
      canvas.unclip();
      canvas.set(palette::kGrey, 0.1);
      canvas.rectangle(tile.shown);
      const std::string footer =
          options.title.empty() ? sheets[s].title : options.title + ": " + sheets[s].title;
      draw_strip(canvas, plan, tile, footer, fmt::format("Page {} of {}", number, pages), square, strip);
      cairo_show_page(page.get());
    }
  }
  cairo_surface_finish(surface.get());
  const cairo_status_t status = cairo_status(page.get()) != CAIRO_STATUS_SUCCESS
                                    ? cairo_status(page.get())
                                    : cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS) {
    return Problem{Trouble::kInternal,
                   fmt::format("the PDF could not be made: {}", cairo_status_to_string(status)),
                   {},
                   {},
                   {}};
  }
  return with_catalog_entries(std::move(pdf),
                              "/Version /1.7\n   /ViewerPreferences << /PrintScaling /None >>");
}

}  // namespace lastwright
