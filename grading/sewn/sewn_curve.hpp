// The curves that another program draws through numbered
// points: straight from one to the next, or a smooth one.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

// A cubic spline through the points, by the lengths of its chords, with no bend at its ends; `closed`:
// through the last and on to the first without an end. Two points make a straight line. Returned as `parts`
// places for each stretch between two points, its end not included but the end of the whole.
std::vector<Vec2> spline_through(std::span<const Vec2> points, bool closed, int parts);

}  // namespace lastwright
