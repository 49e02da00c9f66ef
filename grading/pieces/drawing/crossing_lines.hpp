// Closed lines on a boundary's layer that no piece takes, and that meet the outline of one.
#pragma once

#include <cstddef>
#include <map>
#include <set>

#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

// Such contours, each with the outline that it crosses or touches (within 0.02 mm): one of its own layer if
// there is one, then the smallest; none where one of its own layer goes round it, whose it is. They are
// windows and holes drawn over an edge or a fold, not outlines. `used`: the contours that are outlines of
// pieces; a contour is compared with those of its own insertion, one that stands in no block with all of
// them. A layer of which no piece takes an outline may be a further piece that is laid over the others: its
// lines are not looked at.
std::map<std::size_t, std::size_t> crossing_lines(const PatternDrawing& drawing,
                                                  const std::set<std::size_t>& used);

}  // namespace lastwright
