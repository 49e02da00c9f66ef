// What is laid in a region, and what the region is: everything as convex polygons.
#pragma once

#include <vector>

#include "geometry/check/convex_region.hpp"
#include "geometry/result.hpp"
#include "geometry/units.hpp"

namespace lastwright {

// A shape in one of its turns, round its own origin.
struct TurnedShape {
  std::vector<Polygon> parts;  // convex, counter-clockwise, together the shape
  Polygon hull;
};
TurnedShape turned(const std::vector<Polygon>& parts, Radians by);

// A simple outline that shapes lie inside of: its hull, and what of the hull is not it.
struct FillRegion {
  Polygon outline;
  Polygon hull;
  std::vector<Polygon> pockets;  // convex
};
// Precondition: simple, counter-clockwise.
Result<FillRegion> fill_region(const Polygon& outline);

// All round a convex polygon, one large box beyond each edge, along the whole line of the edge.
std::vector<Polygon> outside_of(const Polygon& convex);

// The area that two shapes share, by clipping their parts.
double shared_area(const std::vector<Polygon>& one, const std::vector<Polygon>& other);
std::vector<Polygon> moved_parts(const std::vector<Polygon>& parts, Vec2 by);

}  // namespace lastwright
