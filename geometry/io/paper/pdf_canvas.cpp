#include "geometry/io/paper/pdf_canvas.hpp"

#include <cairo.h>

#include <cmath>
#include <numbers>

#include "geometry/io/utf8.hpp"
#include "geometry/units.hpp"

namespace lastwright {

namespace {

constexpr double kPointsPerMillimetre = 72.0 / kMillimetresPerInch;  // 72 points an inch, by the PDF standard
constexpr double kPdfCapitalOfEm = 0.73;
constexpr double kFlattestInPdf = 1e-6;  // millimetres: an arc that bows less is a line

// Cairo stops a page at bytes that are not UTF-8.
std::string clean(const std::string& text) {
  std::string good;
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = next_character(text, at);
    good += c.valid && is_printable(c.code) ? text.substr(at, c.bytes) : "\xEF\xBF\xBD";
    at += c.bytes;
  }
  return good;
}

}  // namespace

void PdfCanvas::place(Vec2 top_left) {
  cairo_identity_matrix(page_);
  cairo_scale(page_, kPointsPerMillimetre, -kPointsPerMillimetre);
  cairo_translate(page_, -top_left.x, -top_left.y);
}

void PdfCanvas::clip(const Box2& box) {
  cairo_save(page_);
  cairo_rectangle(page_, box.low.x, box.low.y, box.width(), box.height());
  cairo_clip(page_);
}

void PdfCanvas::unclip() {
  cairo_restore(page_);
}

void PdfCanvas::set(Colour colour, double width) {
  cairo_set_source_rgb(page_, colour.red / 255.0, colour.green / 255.0, colour.blue / 255.0);
  cairo_set_line_width(page_, width);
  cairo_set_dash(page_, nullptr, 0, 0.0);
  cairo_set_line_join(page_, CAIRO_LINE_JOIN_ROUND);
}

void PdfCanvas::set(const LineStyle& style) {
  set(style.colour, style.width);
  cairo_set_dash(page_, style.dash.data(), static_cast<int>(style.dashes().size()), 0.0);
}

void PdfCanvas::along(const ArcSegment& s) {
  if (std::abs(s.bulge) * s.chord() * 0.5 < kFlattestInPdf) {
    cairo_line_to(page_, s.b.x, s.b.y);
    return;
  }
  const Vec2 from = s.a - s.centre();
  const double start = std::atan2(from.y, from.x);
  const auto arc = s.bulge > 0.0 ? cairo_arc : cairo_arc_negative;
  arc(page_, s.centre().x, s.centre().y, s.radius(), start, start + s.sweep());
}

void PdfCanvas::outline(const ClosedArcPath& path) {
  if (path.vertices.empty()) return;
  cairo_move_to(page_, path.vertices.front().at.x, path.vertices.front().at.y);
  for (std::size_t i = 0; i < path.size(); ++i) along(path.segment(i));
  cairo_close_path(page_);
  cairo_stroke(page_);
}

void PdfCanvas::line(const OpenArcPath& path) {
  if (path.size() == 0) return;
  cairo_move_to(page_, path.vertices.front().at.x, path.vertices.front().at.y);
  for (std::size_t i = 0; i < path.size(); ++i) along(path.segment(i));
  cairo_stroke(page_);
}

void PdfCanvas::segment(Vec2 from, Vec2 to) {
  line({{{from, 0.0}, {to, 0.0}}});
}

void PdfCanvas::circle(Vec2 centre, double radius) {
  cairo_new_sub_path(page_);
  cairo_arc(page_, centre.x, centre.y, radius, 0.0, 2.0 * std::numbers::pi);
  cairo_close_path(page_);
  cairo_stroke(page_);
}

void PdfCanvas::rectangle(const Box2& box, bool filled) {
  cairo_rectangle(page_, box.low.x, box.low.y, box.width(), box.height());
  filled ? cairo_fill(page_) : cairo_stroke(page_);
}

void PdfCanvas::polygon(const std::vector<Vec2>& points, bool filled) {
  for (const Vec2 p : points) cairo_line_to(page_, p.x, p.y);
  cairo_close_path(page_);
  filled ? cairo_fill(page_) : cairo_stroke(page_);
}

double PdfCanvas::text_width(double height, const std::string& text) const {
  cairo_save(page_);
  cairo_set_font_size(page_, height / kPdfCapitalOfEm);
  cairo_text_extents_t extents;
  cairo_text_extents(page_, clean(text).c_str(), &extents);
  cairo_restore(page_);
  return extents.x_advance;
}

void PdfCanvas::text(Vec2 at, double height, Radians angle, const std::string& text, double share) {
  const std::string shown = clean(text);
  cairo_save(page_);
  cairo_translate(page_, at.x, at.y);
  cairo_rotate(page_, angle.value());
  cairo_scale(page_, 1.0, -1.0);
  cairo_set_font_size(page_, height / kPdfCapitalOfEm);
  double left = 0.0;
  if (share > 0.0) {
    cairo_text_extents_t extents;
    cairo_text_extents(page_, shown.c_str(), &extents);
    left = -share * extents.x_advance;
  }
  cairo_move_to(page_, left, 0.0);
  cairo_show_text(page_, shown.c_str());
  cairo_restore(page_);
}

}  // namespace lastwright
