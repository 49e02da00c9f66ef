// The smooth stretches of a graded net line, for directions that do not depend on how it was divided.
#pragma once

#include <vector>

#include "geometry/curve/smooth_span.hpp"
#include "grading/grade/piece_shape.hpp"

namespace lastwright {

// The curved spans of the piece's edges at these nodes, as it is drawn on its forme (of a piece that is cut
// double one half).
std::vector<SmoothSpan> net_spans(const PieceShape& shape, ShapeNodes nodes);

}  // namespace lastwright
