// What a plane drawing writer (DXF, SVG, PDF) is given: outlines, lines, holes and texts by operation.
//
// The writers know operations, not pieces: a layer of the DXF, a group of the SVG, a pen of the PDF.
#pragma once

#include <string>
#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

// One kind of work done on the material; each becomes one layer. The order is the order in files.
enum class Operation {
  kCut,       // outer cut line
  kCutOut,    // inner cut lines
  kHole,      // punched holes
  kNick,      // short cuts in the edge
  kPrick,     // marks pricked through
  kStitch,    // stitch lines, marked only
  kSkive,     // skive bands, marked only
  kLapGuide,  // where a neighbour's edge lies, marked only
  kNetLine,   // finished edge, marked only
  kFold,      // fold line
  kGrain,     // direction of tightness
  kGuide,     // other internal lines
  kText,
};
inline constexpr int kOperationCount = 13;
const char* layer_name(Operation operation);  // "CUT", "CUT_OUT", "HOLE", ... as in the DXF

struct SheetText {
  Vec2 at;              // left end of the base line
  double height = 3.0;  // of a capital, millimetres
  Radians angle;
  std::string text;  // UTF-8
  Operation operation = Operation::kText;
};

struct SheetHole {
  Vec2 centre;
  double radius = 0.0;
  Operation operation = Operation::kHole;
};

struct SheetOutline {
  ClosedArcPath path;
  Operation operation = Operation::kCut;
};

struct SheetLine {
  OpenArcPath path;
  Operation operation = Operation::kGuide;
};

// One drawing: a graded piece, or a die.
struct Sheet {
  std::string title;  // safe text for people, e.g. "vamp 8½ F"
  std::vector<SheetOutline> outlines;
  std::vector<SheetLine> lines;
  std::vector<SheetHole> holes;
  std::vector<SheetText> texts;
};

}  // namespace lastwright
