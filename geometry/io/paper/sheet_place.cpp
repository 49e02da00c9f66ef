#include "geometry/io/paper/sheet_place.hpp"

#include <numbers>
#include <utility>

#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

ClosedArcPath counter_clockwise(ClosedArcPath path) {
  return signed_area(path) < 0.0 ? reversed(path) : path;
}

ClosedArcPath circle_path(Vec2 centre, double radius) {
  return {{{centre - Vec2{radius, 0.0}, 1.0}, {centre + Vec2{radius, 0.0}, 1.0}}};
}

}  // namespace

Sheet placed(const Sheet& sheet, Radians turn, Vec2 shift) {
  Sheet to = sheet;
  const auto point = [&](Vec2 p) { return turned(p, turn.value()) + shift; };
  for (SheetOutline& outline : to.outlines) outline.path = placed(outline.path, turn, shift);
  for (SheetLine& line : to.lines) line.path = placed(line.path, turn, shift);
  for (SheetHole& hole : to.holes) hole.centre = point(hole.centre);
  for (SheetText& text : to.texts) {
    text.at = point(text.at);
    text.angle = Radians(text.angle.value() + turn.value());
  }
  return to;
}

Sheet mirrored(const Sheet& sheet) {
  Sheet to = sheet;
  for (SheetOutline& outline : to.outlines) outline.path = counter_clockwise(mirrored(outline.path));
  for (SheetLine& line : to.lines) line.path = mirrored(line.path);
  for (SheetHole& hole : to.holes) hole.centre.x = -hole.centre.x;
  for (SheetText& text : to.texts) {
    const double width = text.height * text_width(text.text);
    const Vec2 end = text.at + width * turned({1.0, 0.0}, text.angle.value());
    text.at = {-end.x, end.y};
    text.angle = Radians(-text.angle.value());
  }
  return to;
}

Box2 shape_bounds(const Sheet& sheet) {
  Box2 box;
  for (const SheetOutline& outline : sheet.outlines) box.add(bounds(outline.path));
  for (const SheetLine& line : sheet.lines) box.add(bounds(line.path));
  for (const SheetHole& hole : sheet.holes) {
    box.add(hole.centre - Vec2{hole.radius, hole.radius});
    box.add(hole.centre + Vec2{hole.radius, hole.radius});
  }
  return box;
}

void append(Sheet& sheet, const Sheet& more) {
  const auto join = [](auto& all, const auto& some) { all.insert(all.end(), some.begin(), some.end()); };
  join(sheet.outlines, more.outlines);
  join(sheet.lines, more.lines);
  join(sheet.holes, more.holes);
  join(sheet.texts, more.texts);
}

Sheet straightened(const Sheet& sheet, Millimetres chord_error) {
  Sheet to = sheet;
  const auto closed = [&](const ClosedArcPath& path) {
    ClosedArcPath straight;
    for (const Vec2 p : flattened(path, chord_error)) straight.vertices.push_back({p, 0.0});
    return straight;
  };
  for (SheetOutline& outline : to.outlines) outline.path = closed(outline.path);
  for (SheetLine& line : to.lines) {
    OpenArcPath straight;
    for (const Vec2 p : flattened(line.path, chord_error)) straight.vertices.push_back({p, 0.0});
    line.path = std::move(straight);
  }
  to.holes.clear();
  for (const SheetHole& hole : sheet.holes) {
    if (hole.radius <= 0.0) {
      to.holes.push_back(hole);
    } else {
      to.outlines.push_back({closed(circle_path(hole.centre, hole.radius)), hole.operation});
    }
  }
  return to;
}

}  // namespace lastwright
