// The least a style must say to tell one contour of a drawing from all others.
#pragma once

#include <optional>

#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// The block alone, else with the layer, else with a point inside it and
// inside no smaller contour that fits as well; in drawings without blocks the
// layer, the point. Empty where nothing tells: another contour lies on it.
std::optional<OutlineSource> source_of(std::size_t contour, const PatternDrawing& drawing);

}  // namespace lastwright
