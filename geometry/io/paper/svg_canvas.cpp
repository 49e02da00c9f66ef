#include "geometry/io/paper/svg_canvas.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <numbers>

#include "geometry/io/decimal_text.hpp"
#include "geometry/io/utf8.hpp"

namespace lastwright {

namespace {

constexpr const char* kFonts = "DejaVu Sans, Verdana, Helvetica, Arial, sans-serif";
constexpr double kCapitalOfEm = 0.72;  // height of a capital in those fonts, of the font size
constexpr double kFlattest = 1e-6;     // an arc that bows less than this, millimetres, is written as a line
constexpr double kQuarterTurn = 0.41422;  // bulge of 90 degrees, tan(22.5), rounded up

// Any double, without trailing zeros.
void append_exactly(std::string& text, double value, int decimals) {
  char buffer[400];  // the largest double has 309 digits before the point
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, decimals);
  std::string_view digits(buffer, static_cast<std::size_t>(end.ptr - buffer));
  while (digits.back() == '0') digits.remove_suffix(1);
  if (digits.back() == '.') digits.remove_suffix(1);
  text += digits == "-0" ? "0" : digits;
}

// Many times as fast: the digits of the rounded multiple of the last decimal. Only where the value lies
// within rounding of half a decimal the last digit may be another one.
void append_fixed(std::string& text, double value, std::size_t decimals) {
  const double scale = power_of_ten(decimals);
  if (!(std::abs(value) * scale < 1e15)) {  // below it the scaled value is a whole number of a double
    append_exactly(text, value, static_cast<int>(decimals));
    return;
  }
  append_scaled(text, rounded(value * scale), decimals, "");
}

bool is_full_circle(const ClosedArcPath& path) {
  if (path.size() < 2) return false;
  const ArcSegment first = path.segment(0);
  if (first.straight()) return false;
  double sweep = 0.0;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    if (s.straight() || (s.bulge > 0.0) != (first.bulge > 0.0) || s.chord() == 0.0) return false;
    if (distance(s.centre(), first.centre()) > 1e-7 || std::abs(s.radius() - first.radius()) > 1e-7)
      return false;
    sweep += s.sweep();
  }
  return std::abs(std::abs(sweep) - 2.0 * std::numbers::pi) < 1e-6;
}

}  // namespace

void append_number(std::string& text, double value) {
  constexpr std::size_t kDecimals = 4;
  append_fixed(text, value, kDecimals);
}

std::string xml_escaped(std::string_view text) {
  std::string safe;
  safe.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = next_character(text, at);
    const std::string_view bytes = text.substr(at, c.bytes);
    at += c.bytes;
    switch (c.valid ? c.code : 0) {
      case '&':
        safe += "&amp;";
        break;
      case '<':
        safe += "&lt;";
        break;
      case '>':
        safe += "&gt;";
        break;
      case '"':
        safe += "&quot;";
        break;
      case '\'':
        safe += "&#39;";
        break;
      case '\n':
      case '\t':
        safe += bytes;
        break;
      default:
        safe += c.valid && is_printable(c.code) ? bytes : "\xEF\xBF\xBD";
    }
  }
  return safe;
}

std::string css_colour(Colour colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

std::string stroke_attributes(const LineStyle& style) {
  std::string text = fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"", css_colour(style.colour));
  append_number(text, style.width);
  text += '"';
  if (!style.dashes().empty()) {
    text += " stroke-dasharray=\"";
    for (const double dash : style.dashes()) {
      append_number(text, dash);
      text += ' ';
    }
    text.back() = '"';
  }
  return text;
}

double text_width(std::string_view text) {
  double ems = 0.0;
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = next_character(text, at);
    at += c.bytes;
    const bool narrow = c.code == 'i' || c.code == 'j' || c.code == 'l' || c.code == '.' || c.code == ',' ||
                        c.code == ' ' || c.code == ':' || c.code == '\'' || c.code == 'I' || c.code == 'f' ||
                        c.code == 't' || c.code == 'r';
    const bool wide = c.code == 'm' || c.code == 'w' || c.code == 'M' || c.code == 'W' || c.code > 0x2E80;
    ems += narrow ? 0.36 : wide ? 0.95 : 0.62;
  }
  return ems / kCapitalOfEm;
}

SvgCanvas::SvgCanvas(double width, double height, Vec2 origin)
    : width_(width), height_(height), origin_(origin) {}

void SvgCanvas::open_group(std::string_view id, std::string_view label, std::string_view attributes) {
  body_ += fmt::format("{}<g id=\"{}\" aria-label=\"{}\"{}{}>\n", indent_, id, xml_escaped(label),
                       attributes.empty() ? "" : " ", attributes);
  indent_ += "  ";
}

void SvgCanvas::open_group(const LineStyle& style) {
  open_group(style.key, style.meaning,
             stroke_attributes(style) + " stroke-linecap=\"butt\" stroke-linejoin=\"round\"");
}

void SvgCanvas::close_group() {
  indent_.resize(indent_.size() - 2);
  body_ += indent_ + "</g>\n";
}

void SvgCanvas::point(Vec2 p) {
  append_number(body_, origin_.x + p.x);
  body_ += ' ';
  append_number(body_, origin_.y - p.y);
}

void SvgCanvas::arcs_to(const ArcSegment& segment) {
  if (std::abs(segment.bulge) * segment.chord() * 0.5 < kFlattest) {
    body_ += " L";
    point(segment.b);
    return;
  }
  int parts = 1;
  if (std::abs(segment.bulge) > kQuarterTurn) {
    while (std::abs(std::tan(segment.sweep() / 4.0 / parts)) > kQuarterTurn) ++parts;
  }
  // Two decimals more than the points have: the bow of an arc follows its radius. The y axis is turned over:
  // what turns left in the drawing is SVG's negative direction.
  std::string arc = " A";
  append_fixed(arc, segment.radius(), 6);
  const std::size_t digits = arc.size() - 2;
  arc += ' ';
  arc.append(arc, 2, digits);
  arc += segment.bulge < 0.0 ? " 0 0 1 " : " 0 0 0 ";
  for (int k = 1; k <= parts; ++k) {
    body_ += arc;
    point(k == parts ? segment.b : segment.point_at(static_cast<double>(k) / parts));
  }
}

void SvgCanvas::outline(const ClosedArcPath& path, std::string_view attributes) {
  if (is_full_circle(path)) {
    circle(path.segment(0).centre(), path.segment(0).radius(), attributes);
    return;
  }
  if (path.vertices.empty()) return;
  body_ += fmt::format("{}<path{}{} d=\"M", indent_, attributes.empty() ? "" : " ", attributes);
  point(path.vertices.front().at);
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment s = path.segment(i);
    if (i + 1 == path.size() && s.straight()) break;  // Z draws it
    arcs_to(s);
  }
  body_ += " Z\"/>\n";
}

void SvgCanvas::line(const OpenArcPath& path, std::string_view attributes) {
  if (path.size() == 0) return;
  body_ += fmt::format("{}<path{}{} d=\"M", indent_, attributes.empty() ? "" : " ", attributes);
  point(path.vertices.front().at);
  for (std::size_t i = 0; i < path.size(); ++i) arcs_to(path.segment(i));
  body_ += "\"/>\n";
}

void SvgCanvas::segment(Vec2 from, Vec2 to, std::string_view attributes) {
  line(OpenArcPath{{{from, 0.0}, {to, 0.0}}}, attributes);
}

void SvgCanvas::circle(Vec2 centre, double radius, std::string_view attributes) {
  body_ += indent_ + "<circle cx=\"";
  append_number(body_, origin_.x + centre.x);
  body_ += "\" cy=\"";
  append_number(body_, origin_.y - centre.y);
  body_ += "\" r=\"";
  append_number(body_, radius);
  body_ += fmt::format("\"{}{}/>\n", attributes.empty() ? "" : " ", attributes);
}

void SvgCanvas::rectangle(const Box2& box, std::string_view attributes) {
  body_ += indent_ + "<rect x=\"";
  append_number(body_, origin_.x + box.low.x);
  body_ += "\" y=\"";
  append_number(body_, origin_.y - box.high.y);
  body_ += "\" width=\"";
  append_number(body_, box.width());
  body_ += "\" height=\"";
  append_number(body_, box.height());
  body_ += fmt::format("\"{}{}/>\n", attributes.empty() ? "" : " ", attributes);
}

void SvgCanvas::text(const SvgText& style, std::string_view text) {
  body_ += indent_ + "<text x=\"";
  append_number(body_, origin_.x + style.at.x);
  body_ += "\" y=\"";
  append_number(body_, origin_.y - style.at.y);
  body_ += "\" font-size=\"";
  append_number(body_, style.height / kCapitalOfEm);
  body_ += fmt::format("\" stroke=\"none\" fill=\"{}\"", css_colour(style.colour));
  if (style.anchor != Anchor::kStart) {
    body_ += style.anchor == Anchor::kMiddle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
  }
  if (style.bold) body_ += " font-weight=\"bold\"";
  if (style.angle.value() != 0.0) {
    body_ += " transform=\"rotate(";
    append_number(body_, -to_degrees(style.angle));
    body_ += ' ';
    point(style.at);
    body_ += ")\"";
  }
  if (style.halo) {
    body_ += " style=\"paint-order:stroke;stroke:#ffffff;stroke-width:";
    append_number(body_, style.height * 0.45);
    body_ += ";stroke-linejoin:round\"";
  }
  body_ += '>' + xml_escaped(text) + "</text>\n";
}

std::string SvgCanvas::finish(std::string_view title, std::string_view description) const {
  std::string width;
  std::string height;
  append_number(width, width_);
  append_number(height, height_);
  return fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0}mm\" height=\"{1}mm\" "
      "viewBox=\"0 0 {0} {1}\" font-family=\"{2}\">\n"
      "  <title>{3}</title>\n  <desc>{4}</desc>\n{5}</svg>\n",
      width, height, kFonts, xml_escaped(title), xml_escaped(description), body_);
}

}  // namespace lastwright
