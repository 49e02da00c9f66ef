#include "geometry/io/page_pdf.hpp"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "geometry/io/pdf_canvas.hpp"
#include "geometry/io/pdf_date.hpp"
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

void draw_page(PdfCanvas& canvas, const PrintedPage& page) {
  // The canvas has y up, the page y down.
  canvas.place({0.0, 0.0});
  const auto up = [](Vec2 p) { return Vec2{p.x, -p.y}; };
  canvas.set(palette::kBlack, 0.15);
  for (const auto& [from, to] : page.rules) canvas.segment(up(from), up(to));
  for (const Box2& bar : page.bars) {
    Box2 box;
    box.add(up(bar.low));
    box.add(up(bar.high));
    canvas.rectangle(box, true);
  }
  canvas.set(palette::kBlack, 0.2);
  for (const PageShape& shape : page.shapes) {
    std::vector<Vec2> points;
    for (const Vec2 p : shape.points) points.push_back(up(p));
    canvas.polygon(points, shape.filled);
  }
  for (const PageText& text : page.texts) {
    double height = text.height;
    const double width = canvas.text_width(height, text.text);
    if (text.widest > 0.0 && width > text.widest) height *= text.widest / width;
    canvas.text(up(text.at), height, Radians(0.0), text.text);
  }
}

}  // namespace

Result<std::string> write_page_pdf(const std::vector<PrintedPage>& pages, const PagePdfOptions& options) {
  if (pages.empty()) return Problem{Trouble::kInternal, "a PDF without pages", {}, {}, {}};
  std::string pdf;
  const std::unique_ptr<cairo_surface_t, PageCloser> surface(cairo_pdf_surface_create_for_stream(
      take_bytes, &pdf, options.width * kPrintedPoints, options.height * kPrintedPoints));
  cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_5);
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, options.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, pdf_creation_date().c_str());
  const std::unique_ptr<cairo_t, PageCloser> page(cairo_create(surface.get()));
  cairo_select_font_face(page.get(), "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL);
  PdfCanvas canvas(page.get());
  for (const PrintedPage& one : pages) {
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
