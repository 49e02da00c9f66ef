// Does a closed polygon touch itself? Uniform grid: about n log n for outlines.
#pragma once

#include <optional>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// A point where two edges that are not neighbours come within `touch` of each other, or where an edge folds
// back onto the one before it; of several the one on the earliest edge. Nothing for a simple polygon.
// Consecutive points must be further apart than `touch`.
std::optional<Vec2> self_contact(const std::vector<Vec2>& polygon, Millimetres touch);

}  // namespace lastwright
