// What is drawn inside a piece: lines, holes, nicks, texts, by the role of their layer.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/ownership.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

// A thing that belongs to a piece and does not become part of it.
struct LeftThing {
  DrawnThing thing;
  std::string reason;
  bool asked = false;        // the style says "ignore"
  bool mirror_line = false;  // as in LeftOutThing
  bool not_doubled = false;
};

// Fills the features of `piece`, whose outline is drawing.contours[outline] and whose edges are cut already,
// with what belongs to it; gives back what it has no use for. Refuses what cannot be made: see bind_piece.
Result<std::vector<LeftThing>> bind_features(const PatternDrawing& drawing, const Owners& owners,
                                             std::size_t outline, BoundPiece& piece);

}  // namespace lastwright
