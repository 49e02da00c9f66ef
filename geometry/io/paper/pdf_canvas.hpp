// Draws onto one page of a PDF in millimetres of the drawing, y up.
#pragma once

#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/drawing_style.hpp"

struct _cairo;  // NOLINT(bugprone-reserved-identifier): the library's name

namespace lastwright {

class PdfCanvas {
 public:
  explicit PdfCanvas(_cairo* page) : page_(page) {}

  // The drawing's point that lies at the page's top left from here on.
  void place(Vec2 top_left);
  void clip(const Box2& box);
  void unclip();

  void set(const LineStyle& style);
  void set(Colour colour, double width);
  void outline(const ClosedArcPath& path);
  void line(const OpenArcPath& path);
  void segment(Vec2 from, Vec2 to);
  void circle(Vec2 centre, double radius);
  void rectangle(const Box2& box, bool filled = false);
  void polygon(const std::vector<Vec2>& points, bool filled);
  // `share`: of the text's width that lies left of `at`: 0, 0.5 or 1.
  void text(Vec2 at, double height, Radians angle, const std::string& text, double share = 0.0);
  [[nodiscard]] double text_width(double height, const std::string& text) const;

 private:
  void along(const ArcSegment& segment);
  _cairo* page_;
};

}  // namespace lastwright
