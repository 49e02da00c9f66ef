// Stitch lines of a piece that cross.
#pragma once

#include <cstdint>
#include <vector>

#include "grading/checks/lasting/footprint.hpp"

namespace lastwright {

struct StitchCrossing {
  std::uint16_t feature = 0;
  std::uint16_t other = 0;
  double runs_on = 0.0;  // mm from there along the lines: the least of the four ways
  Vec2 at;
};

// Where two stitch lines among the footprints cross, and both run on by 15 mm and more to either side. Rows
// along two edges that meet in a corner run on past each other by their distance from the edges alone. Rows
// of one feature are not compared; `drawn`: the number of what is drawn, whose lines are.
std::vector<StitchCrossing> stitch_crossings(const std::vector<Footprint>& all, std::uint16_t drawn);

}  // namespace lastwright
