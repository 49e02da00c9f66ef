// Whose a thing of a drawing is: the one rule by which lines, holes, notches and texts come to pieces.
//
// An outline is a closed contour that a piece uses, or one on a boundary layer that nobody does; but one that
// nobody uses and that meets an outline in use (crossing_lines) is a thing of that outline's piece.
//   1. Block. What stands in an insertion of a block in which there are outlines belongs to these. What
//   stands
//      in none belongs to the outlines that stand in none either; where none of them holds it, those in
//      blocks are asked too, but for texts: what is written beside the blocks is about the whole drawing.
//   2. Layer. If any of these outlines is on the thing's own layer, it belongs to such. A text on another
//      layer, in no block, that is the name of a layer belongs to the outline that holds it and has that
//      layer for itself.
//   3. Place. If block or layer leaves one, it is that one's, wherever it lies. Of several, and where neither
//      has told, it is the smallest outline's that holds the whole of it, else the smallest one's that holds
//      a part, else nobody's. An outline holds what lies inside it or within tolerance::kCornerSnap of it; it
//      holds a notch that lies so near to it, and one farther inside only if there is no such outline.
// A text that only its layer gives to an outline, and that lies outside the outline's box, is nobody's.
#pragma once

#include <array>
#include <compare>
#include <cstddef>
#include <map>
#include <set>
#include <vector>

#include "grading/pieces/drawing/outline_group.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

enum class DrawnKind { kContour, kCircle, kPoint, kText };

// One thing of a drawing: an index into contours, or into the drawing's circles, points or texts. Circles
// that are lines (pattern_drawing) are contours.
struct DrawnThing {
  DrawnKind kind = DrawnKind::kContour;
  std::size_t index = 0;
  auto operator<=>(const DrawnThing&) const = default;
};

class Owners {
 public:
  // `used`: the contours that are outlines of pieces.
  Owners(const PatternDrawing& drawing, const std::set<std::size_t>& used);

  [[nodiscard]] const Owner& of(DrawnThing thing) const;
  [[nodiscard]] bool is_outline(std::size_t contour) const { return outlines_.contains(contour); }
  // What belongs to an outline: contours first, then circles, points, texts, each in the drawing's order. The
  // outline itself is not among them.
  [[nodiscard]] const std::vector<DrawnThing>& things_of(std::size_t outline) const;

 private:
  std::set<std::size_t> outlines_;
  std::array<std::vector<Owner>, 4> owners_;  // by kind and index
  std::map<std::size_t, std::vector<DrawnThing>> things_;
};

// Everything that the drawing holds, contours first.
std::vector<DrawnThing> things_in(const PatternDrawing& drawing);
const DrawnFrom& from_of(const PatternDrawing& drawing, DrawnThing thing);
// A place to name it by: a centre, the start of a line.
Vec2 place_of(const PatternDrawing& drawing, DrawnThing thing);

}  // namespace lastwright
