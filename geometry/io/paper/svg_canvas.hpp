// Builds one SVG page in millimetres: physical width and height, a viewBox in the same unit, arcs as arcs.
//
// Drawings have y up and their own origin; the page has y down and its origin at the top left. The canvas is
// told where on the page the drawing's origin lies and does the turning over. Numbers carry four decimals:
// 0.05 micrometre of rounding. An arc of more than a quarter turn is written as several: the end-point form
// of SVG loses the centre of an arc near half a turn, and a quarter turn never needs the large-arc flag.
#pragma once

#include <string>
#include <string_view>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/drawing_style.hpp"

namespace lastwright {

enum class Anchor { kStart, kMiddle, kEnd };

struct SvgText {
  Vec2 at = {};         // on the base line
  double height = 3.0;  // of a capital, millimetres
  Radians angle = {};   // counter-clockwise
  Anchor anchor = Anchor::kStart;
  Colour colour = palette::kBlack;
  bool bold = false;
  bool halo = false;  // a white rim, where the text crosses lines
};

class SvgCanvas {
 public:
  // `origin`: where the drawing's (0, 0) lies, from the page's top left, x right and y down.
  SvgCanvas(double width, double height, Vec2 origin);

  // Extra attributes are written as given: trusted text of the program only. The label is escaped.
  void open_group(std::string_view id, std::string_view label, std::string_view attributes = {});
  void open_group(const LineStyle& style);
  void close_group();

  void outline(const ClosedArcPath& path, std::string_view attributes = {});
  void line(const OpenArcPath& path, std::string_view attributes = {});
  void segment(Vec2 from, Vec2 to, std::string_view attributes = {});
  void circle(Vec2 centre, double radius, std::string_view attributes = {});
  void rectangle(const Box2& box, std::string_view attributes = {});
  void text(const SvgText& style, std::string_view text);

  // The whole file. Title and description are what a screen reader or a tooltip says.
  [[nodiscard]] std::string finish(std::string_view title, std::string_view description) const;

 private:
  void point(Vec2 p);
  void arcs_to(const ArcSegment& segment);

  double width_;
  double height_;
  Vec2 origin_;
  std::string body_;
  std::string indent_ = "  ";
};

// Four decimals at most, no trailing zeros, no "-0", the same in every locale.
void append_number(std::string& text, double value);

// For text and for attributes in double quotes: markup escaped, what XML 1.0 cannot hold replaced by U+FFFD.
std::string xml_escaped(std::string_view text);

std::string css_colour(Colour colour);  // "#0072b2"

// fill none, stroke, stroke-width and stroke-dasharray of a style.
std::string stroke_attributes(const LineStyle& style);

// Width of a text set as the canvas sets it, in capital
// heights of 1: an estimate for placing, within about a tenth.
double text_width(std::string_view text);

}  // namespace lastwright
