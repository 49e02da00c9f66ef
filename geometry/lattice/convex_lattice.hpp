// The densest lattices of a convex shape, by theorem: exact but for rounding.
//
// Half turned (Kuperberg and Kuperberg, Discrete Comput. Geom. 5, 1990; Mount, 1991): of all parallelograms
// with two sides that are chords of the shape, parallel to and half as long as its longest chord in their
// direction, the smallest has a quarter of the area of the best cell of two. Translated: the cell is half of
// that parallelogram of the shape's difference with itself. Along an edge of that difference the chords move
// in straight lines and the area is a square of the way gone, so each stretch is minimised by formula.
#pragma once

#include "geometry/check/convex_region.hpp"
#include "geometry/lattice/lattice.hpp"

namespace lastwright {

// Precondition: `shape` is convex and counter-clockwise, no two neighbouring edges parallel.
Lattice densest_convex_translates(const Polygon& shape);
Lattice densest_convex_half_turned(const Polygon& shape);

}  // namespace lastwright
