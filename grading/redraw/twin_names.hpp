// Which of several outlines goes by the name that a piece's had, whatever carries it now.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// The only one of these contours whose block, or layer where it stands in none, has the name that the piece's
// block or layer had, but for how it is written: VAMP_LINING and "vamp lining".
std::optional<std::size_t> of_same_name(const std::vector<std::size_t>& contours, const OutlineSource& was,
                                        const PatternDrawing& fresh);

}  // namespace lastwright
