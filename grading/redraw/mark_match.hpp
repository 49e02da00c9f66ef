// Finds the marks of a drawing (points, middles of circles) again in the one that takes its place.
#pragma once

#include <optional>
#include <vector>

#include "geometry/io/drawing.hpp"
#include "grading/redraw/corner_match.hpp"

namespace lastwright {

struct MarkPairs {
  std::vector<Vec2> was;
  std::vector<Vec2> now;
  bool compared = true;  // false: there are too many
};

// Both laid in one frame.
MarkPairs mark_pairs(const Drawing& was, const Drawing& now);

// Where the mark is now that was drawn at `place`; none where none was. It has moved where one mark alone is
// new within `reach` and no other is gone that might be that one; else it is refused.
std::optional<CornerFound> find_mark(const MarkPairs& marks, Vec2 place, double reach);

}  // namespace lastwright
