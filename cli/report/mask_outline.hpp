// The outline of what triangles cover, as a smooth line.
#pragma once

#include <array>
#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

// Closed lines, the first point not repeated, what is covered on their left. Within 0.6 of a `cell` of the
// edge of what is covered; sharp corners are rounded by up to a cell, gaps and islands narrower than two
// cells may be left out.
std::vector<std::vector<Vec2>> mask_outline(const std::vector<std::array<Vec2, 3>>& triangles, double cell);

}  // namespace lastwright
