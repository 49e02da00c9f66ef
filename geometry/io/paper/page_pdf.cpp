#include "geometry/io/paper/page_pdf.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "geometry/io/paper/pdf_canvas.hpp"
#include "geometry/io/paper/pdf_date.hpp"
#include "geometry/units.hpp"

namespace lastwright {

namespace {

constexpr double kPrintedPoints = 72.0 / kMillimetresPerInch;  // 72 points an inch, by the PDF standard

struct PageCloser {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* page) const { cairo_destroy(page); }
};

cairo_status_t take_bytes(void* text, const unsigned char* bytes, unsigned count) {
  static_cast<std::string*>(text)->append(reinterpret_cast<const char*>(bytes), count);
  return CAIRO_STATUS_SUCCESS;
}

// The canvas has y up, the page y down.
Vec2 upward(Vec2 p) {
  return {p.x, -p.y};
}

void draw_shapes(PdfCanvas& canvas, const std::vector<PageShape>& shapes) {
  canvas.set(palette::kBlack, 0.2);
  for (const PageShape& shape : shapes) {
    std::vector<Vec2> points;
    for (const Vec2 p : shape.points) points.push_back(upward(p));
    canvas.polygon(points, shape.filled);
  }
}

void draw_texts(PdfCanvas& canvas, const std::vector<PageText>& texts) {
  for (const PageText& text : texts) {
    double height = text.height;
    if (text.widest > 0.0) {
      const double width = canvas.text_width(height, text.text);
      if (width > text.widest) height *= text.widest / width;
    }
    canvas.text(upward(text.at), height, Radians(0.0), text.text);
  }
}

void draw_page(PdfCanvas& canvas, const PrintedPage& page) {
  canvas.place({0.0, 0.0});
  canvas.set(palette::kBlack, 0.15);
  for (const auto& [from, to] : page.rules) canvas.segment(upward(from), upward(to));
  for (const Box2& bar : page.bars) {
    Box2 box;
    box.add(upward(bar.low));
    box.add(upward(bar.high));
    canvas.rectangle(box, true);
  }
  draw_shapes(canvas, page.shapes);
  draw_texts(canvas, page.texts);
}

using CairoSurface = std::unique_ptr<cairo_surface_t, PageCloser>;
using CairoContext = std::unique_ptr<cairo_t, PageCloser>;

// On a surface of its own, with the fonts as `like` has them.
CairoContext context_on(cairo_surface_t* surface, cairo_surface_t* like) {
  CairoContext context(cairo_create(surface));
  cairo_select_font_face(context.get(), "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  cairo_font_options_t* fonts = cairo_font_options_create();
  cairo_surface_get_font_options(like, fonts);
  cairo_set_font_options(context.get(), fonts);
  cairo_font_options_destroy(fonts);
  return context;
}

CairoSurface recorded(const PageFigure& figure, cairo_surface_t* like) {
  const cairo_rectangle_t box{0.0, 0.0, figure.width * kPrintedPoints, figure.height * kPrintedPoints};
  CairoSurface surface(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &box));
  const CairoContext context = context_on(surface.get(), like);
  PdfCanvas canvas(context.get());
  canvas.place({0.0, 0.0});
  draw_shapes(canvas, figure.shapes);
  draw_texts(canvas, figure.texts);
  return surface;
}

// Painted from one surface, so that the file holds it once.
void put_figure(cairo_t* page, cairo_surface_t* figure, Vec2 at) {
  cairo_identity_matrix(page);
  cairo_set_source_surface(page, figure, at.x * kPrintedPoints, at.y * kPrintedPoints);
  cairo_paint(page);
}

}  // namespace

Result<std::string> write_page_pdf(const std::vector<PrintedPage>& pages, const PagePdfOptions& options,
                                   const std::vector<PageFigure>& figures) {
  if (pages.empty()) return Problem{Trouble::kInternal, "a PDF without pages", {}, {}, {}};
  std::string pdf;
  const CairoSurface surface(cairo_pdf_surface_create_for_stream(
      take_bytes, &pdf, options.width * kPrintedPoints, options.height * kPrintedPoints));
  cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_5);
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, options.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, pdf_creation_date().c_str());
  const CairoContext page = context_on(surface.get(), surface.get());
  std::vector<CairoSurface> drawn;
  for (const PageFigure& figure : figures) drawn.push_back(recorded(figure, surface.get()));
  PdfCanvas canvas(page.get());
  for (const PrintedPage& one : pages) {
    for (const PlacedFigure& placed : one.figures)
      put_figure(page.get(), drawn[placed.figure].get(), placed.at);
    draw_page(canvas, one);
    cairo_show_page(page.get());
  }
  cairo_surface_finish(surface.get());
  const cairo_status_t status = cairo_status(page.get()) != CAIRO_STATUS_SUCCESS
                                    ? cairo_status(page.get())
                                    : cairo_surface_status(surface.get());
  if (status == CAIRO_STATUS_SUCCESS) return pdf;
  return Problem{Trouble::kInternal,
                 fmt::format("the PDF could not be made: {}", cairo_status_to_string(status)),
                 {},
                 {},
                 {}};
}

}  // namespace lastwright
