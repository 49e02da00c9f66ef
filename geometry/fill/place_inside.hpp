// Whether one shape lies inside another, moved but not turned.
#pragma once

#include <optional>

#include "geometry/lattice/densest_lattice.hpp"

namespace lastwright {

// Where the middle of the shape may lie, from the middle of the holder, so that all of it is inside: one such
// place. Empty where none was found: a place that leaves next to no room may be missed.
std::optional<Vec2> place_inside(const LatticeShape& shape, const LatticeShape& holder);

}  // namespace lastwright
