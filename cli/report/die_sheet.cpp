#include "cli/report/die_sheet.hpp"

#include <algorithm>

#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

// A place for the text: the middle of the outline's box, or the inner point farthest from every rule of a
// coarse grid.
Vec2 roomiest(const DieShape& shape, const Box2& box) {
  constexpr int kGrid = 12;
  Vec2 best = box.centre();
  double room = -1.0;
  for (int i = 1; i < kGrid; ++i) {
    for (int j = 1; j < kGrid; ++j) {
      const Vec2 p{box.low.x + box.width() * i / kGrid, box.low.y + box.height() * j / kGrid};
      if (!contains(shape.cut.path, p)) continue;
      double d = distance_to(shape.cut.path, p);
      for (const ClosedArcPath& cut_out : shape.cut_outs) d = std::min(d, distance_to(cut_out, p));
      for (const GradedHole& hole : shape.holes) d = std::min(d, distance(hole.centre, p) - hole.radius);
      if (d > room + 1e-9) {
        room = d;
        best = p;
      }
    }
  }
  return best;
}

}  // namespace

Sheet die_sheet(const PlannedDie& die, const DieOrderLine& line, bool mirror) {
  const DieShape shape = mirror ? mirrored(die.shape) : die.shape;
  Sheet sheet;
  sheet.title = line.number + " " + line.piece + " " + line.drawn_as + (mirror ? " mirrored" : "");
  sheet.outlines.push_back({shape.cut.path, Operation::kCut});
  for (const ClosedArcPath& cut_out : shape.cut_outs) sheet.outlines.push_back({cut_out, Operation::kCutOut});
  for (const GradedLine& mark : shape.marks) sheet.lines.push_back({mark.path, mark.operation});
  for (const GradedLine& mark : shape.size_marks) sheet.lines.push_back({mark.path, mark.operation});
  for (const GradedHole& hole : shape.holes) sheet.holes.push_back(sheet_hole(hole));
  const Vec2 at = roomiest(shape, bounds(shape.cut.path));
  constexpr double kHeight = 3.0;  // mm of a capital
  sheet.texts.push_back({at, kHeight, Radians(0.0), line.number + (mirror ? " M" : ""), Operation::kText});
  return sheet;
}

}  // namespace lastwright
