// Which contour of a new drawing each piece is now drawn as.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/redraw/drawing_motion.hpp"
#include "grading/redraw/outline_ruler.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct PieceTwin {
  const PieceSpec* spec = nullptr;
  std::size_t index = 0;    // of the piece in the style
  OutlineRuler was;         // as it was drawn, in the frame of the style's coordinates
  std::size_t contour = 0;  // of the new drawing
  std::optional<OutlineRuler> now;
  std::optional<OutlineSource> renamed;  // how the style must name it now
};

struct TwinnedDrawing {
  PatternDrawing drawing;  // the new one, laid in the frame of the style's coordinates
  DrawingMotion sheet;
  std::vector<PieceTwin> pieces;
  std::vector<std::string> told;
  std::vector<Problem> problems;  // pointers into the style
};

// `fresh` as it is on its sheet. A piece is taken for the outline of its name; where there is none, or it
// has none, for the one that lies where it lay.
TwinnedDrawing twin_pieces(const StyleSpec& style, const std::string& key, const PatternDrawing& was,
                           PatternDrawing fresh, double reach);

}  // namespace lastwright
