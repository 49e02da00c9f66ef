// What is drawn inside a piece: lines, holes, nicks, texts, by the role of their layer.
#pragma once

#include <cstddef>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/pattern_drawing.hpp"

namespace lastwright {

// Fills the features of `piece`, whose outline is drawing.contours[outline] and whose edges are cut already.
Status bind_features(const PatternDrawing& drawing, std::size_t outline, BoundPiece& piece);

}  // namespace lastwright
