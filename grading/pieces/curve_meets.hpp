// Where two runs of curves cross.
#pragma once

#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// Points common to both within tolerance::kRoot, in the order along `one`; crossings
// closer together than tolerance::kOutlineChord are given once. What only touches between
// its sampled points (a 32nd of a curve, of each span of a spline) may be missed. Refuses
// runs of so many curves that comparing them would take too long (Trouble::kBudget).
Result<std::vector<Vec2>> curve_meets(const std::vector<Curve>& one, const std::vector<Curve>& other);

}  // namespace lastwright
