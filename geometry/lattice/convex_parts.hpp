// A simple polygon taken apart into convex ones.
#pragma once

#include <vector>

#include "geometry/check/convex_region.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// Counter-clockwise convex polygons that together cover `polygon` and share no area: triangles joined again
// while they stay convex, so at most four times as many as can be (Hertel and Mehlhorn). Precondition:
// `polygon` is simple and counter-clockwise. A Problem where the areas of the parts do not add up to its area
// within 1e-9 of it.
Result<std::vector<Polygon>> convex_parts(const Polygon& polygon);

// Whether no corner turns to the right.
bool is_convex(const Polygon& polygon);

// The points p + q, p of the one and q of the other convex polygon: again convex, no two edges parallel.
Polygon convex_sum(const Polygon& one, const Polygon& other);

// Every point turned half round the origin.
Polygon half_turned(const Polygon& polygon);
// Mirrored in the line x = 0, again counter-clockwise.
Polygon mirrored(const Polygon& polygon);

}  // namespace lastwright
