#include "geometry/io/paper/svg_write.hpp"

#include <fmt/format.h>

#include <cmath>

#include "geometry/io/paper/sheet_place.hpp"

namespace lastwright {

Box2 bounds(const Sheet& sheet) {
  Box2 box = shape_bounds(sheet);
  for (const SheetText& text : sheet.texts) {
    const Vec2 along{std::cos(text.angle.value()), std::sin(text.angle.value())};
    const Vec2 end = text.at + text_width(text.text) * text.height * along;
    const Vec2 up = text.height * left_of(along);
    for (const Vec2 p : {text.at, end, text.at + up, end + up}) box.add(p);
  }
  return box;
}

void draw_sheet(SvgCanvas& canvas, const Sheet& sheet) {
  for (const Operation operation : all_operations()) {
    const auto of_this = [&](const auto& item) { return item.operation == operation; };
    const bool any = std::any_of(sheet.outlines.begin(), sheet.outlines.end(), of_this) ||
                     std::any_of(sheet.lines.begin(), sheet.lines.end(), of_this) ||
                     std::any_of(sheet.holes.begin(), sheet.holes.end(), of_this) ||
                     std::any_of(sheet.texts.begin(), sheet.texts.end(), of_this);
    if (!any) continue;
    const LineStyle& style = style_of(operation);
    canvas.open_group(style);
    for (const SheetOutline& outline : sheet.outlines) {
      if (of_this(outline)) canvas.outline(outline.path);
    }
    for (const SheetLine& line : sheet.lines) {
      if (of_this(line)) canvas.line(line.path);
    }
    for (const SheetHole& hole : sheet.holes) {
      if (of_this(hole)) canvas.circle(hole.centre, hole.radius);
    }
    for (const SheetText& text : sheet.texts) {
      if (of_this(text)) {
        canvas.text({.at = text.at, .height = text.height, .angle = text.angle, .colour = style.colour},
                    text.text);
      }
    }
    canvas.close_group();
  }
}

std::string write_svg(const Sheet& sheet, const SvgOptions& options) {
  Box2 box = bounds(sheet);
  if (box.empty()) box.add(Vec2{});
  const Box2 page = box.grown(options.margin);
  SvgCanvas canvas(page.width(), page.height(), {-page.low.x, page.high.y});
  draw_sheet(canvas, sheet);
  return canvas.finish(
      sheet.title, fmt::format("True scale, millimetres. {:.2f} x {:.2f} mm.", box.width(), box.height()));
}

}  // namespace lastwright
