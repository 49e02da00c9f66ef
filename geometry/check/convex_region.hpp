// How much of a polygon lies in a convex region.
#pragma once

#include <vector>

#include "geometry/box2.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

using Polygon = std::vector<Vec2>;  // closed; the last point is not the first again

Box2 bounds(const Polygon& points);

// Counter-clockwise; of fewer than three points, or points on one line, without area.
Polygon convex_hull(Polygon points);

// The greatest distance between two of the points.
double diameter(const Polygon& points);

// The hull of all that lies within `by` of the hull of the points, `by` above 0; its round corners as chords,
// so it is short of that by less than a hundredth of `by`.
Polygon grown_hull(const Polygon& points, double by);

// Positive for counter-clockwise polygons.
double signed_area(const Polygon& polygon);

// The part inside a counter-clockwise convex polygon. What is left in several parts is joined by bridges
// along the border, which have no area.
Polygon clipped(Polygon polygon, const Polygon& convex);

}  // namespace lastwright
