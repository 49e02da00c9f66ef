// A polygon round an outline of lines and arcs, for packing:
// what packs without overlap packs the outline too.
#pragma once

#include "geometry/check/convex_region.hpp"
#include "geometry/curve/arc_path.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"

namespace lastwright {

// Simple and counter-clockwise, no two edges on one line. Holds every point of the outline, and no point of
// it is farther from the outline than `error`, but for the tips of corners (where two lines moved outward by
// up to `error` meet). An outline of a few straight segments comes back as it is.
// Precondition: `path` is simple and counter-clockwise. A Problem where no such polygon is found.
Result<Polygon> outer_polygon(const ClosedArcPath& path, Millimetres error);

// The outline grown on all sides by half of `gap`, round at its corners: outlines `gap` apart are grown
// outlines that touch. Openings that this closes over are filled.
Result<ClosedArcPath> grown_by_half(const ClosedArcPath& path, Millimetres gap);

}  // namespace lastwright
