// A second line where a piece has one grain line.
#pragma once

#include <optional>
#include <string>

#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

// Why this, drawn on the layer of a grain line, is left out of a piece that has `grain`: it is neither that
// line nor a head of its arrow, which is small and touches it. None for those two.
std::optional<std::string> second_grain(const Contour& contour, const BoundAxis& grain);

}  // namespace lastwright
