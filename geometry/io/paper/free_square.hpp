// Where on a page a square lies clear of a drawing.
#pragma once

#include <optional>

#include "geometry/io/die_drawing.hpp"

namespace lastwright {

// Low corner of a square of `side` inside `room` that no line, hole or text of the sheet crosses, outside its
// outlines if that can be, else inside one; the lowest and leftmost. Found on a grid of 2 mm: a gap that is
// less than 4 mm too wide may be missed.
std::optional<Vec2> free_square(const Sheet& sheet, const Box2& room, double side);

}  // namespace lastwright
