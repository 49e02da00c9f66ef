// The demo boot, graded once, for all timings.
#pragma once

#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/grade.hpp"

namespace lastwright::bench {

const StyleGrade& demo_grade();

// Twenty outlines of a shoe: the net lines of the demo's pieces in the base size, the first ones once more in
// the smallest size until they are twenty.
const std::vector<ClosedArcPath>& twenty_outlines();

}  // namespace lastwright::bench
