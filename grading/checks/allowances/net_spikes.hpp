// Spikes of a net line: places where it runs out and back again and is narrow where it leaves the outline.
//
// Of a line that only turns to the left, the part between two of its places is at most as long as their
// distance divided by the cosine of half its turn. What is longer than that has hollow places: the line left
// its way and came back to it. The part that begins or ends at a hollow place is asked, across the material:
// a corner to the right, a narrow arc to the right, or one that is drawn in short lines.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

struct NetSpike {
  std::size_t edge = 0;    // the edge of its tip
  double width = 0.0;      // mm, where it leaves the outline
  double length = 0.0;     // mm, from there to its tip
  double allowance = 0.0;  // mm, the widest on it
  Vec2 at;                 // its tip
};

// One for each hollow place that has one, up to kWidestSpike wide: the narrowest whose line is more than one
// and a half times as long as its width and turn explain; along edges without allowance, whose teeth are cut
// as they are drawn, four times. `half`: of a piece that is cut double the first half is looked at.
std::vector<NetSpike> net_spikes(const EdgedOutline& net, std::span<const Millimetres> allowances, bool half);

}  // namespace lastwright
