// Finds the contour a piece is drawn as.
#pragma once

#include <cstddef>

#include "geometry/result.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// Index into drawing.contours. Refuses none and several, listing what there is; places are pointers below the
// piece:
// "/outline/block".
Result<std::size_t> find_contour(const OutlineSource& source, const PatternDrawing& drawing);

}  // namespace lastwright
