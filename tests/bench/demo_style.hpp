// The demo boot, graded once, for all timings.
#pragma once

#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright::bench {

const StyleGrade& demo_grade();

struct ShoeOutline {
  ClosedArcPath path;                   // the net line, unfolded
  std::vector<Millimetres> allowances;  // the style's own, one for each segment
};

// Twenty outlines of a shoe: the net lines of the demo's pieces in the base size, the first ones once more in
// the smallest size until they are twenty.
const std::vector<ShoeOutline>& twenty_outlines();

}  // namespace lastwright::bench
