// Drawings turned, moved, mirrored, joined and made straight.
#pragma once

#include <vector>

#include "geometry/io/die_drawing.hpp"
#include "geometry/units.hpp"

namespace lastwright {

// Turned about the origin, then moved.
Sheet placed(const Sheet& sheet, Radians turn, Vec2 shift);
// Mirrored in the line x = 0; texts stay readable and keep their places.
Sheet mirrored(const Sheet& sheet);
// Of everything but the texts.
Box2 shape_bounds(const Sheet& sheet);
// Appends what `more` holds; the title stays.
void append(Sheet& sheet, const Sheet& more);
// Without arcs: chords that leave their arcs by no more than `chord_error`, holes as closed polygons. A
// prick (a hole without a radius) stays one.
Sheet straightened(const Sheet& sheet, Millimetres chord_error);

}  // namespace lastwright
