// How two edges lie to each other in the sample: on each other from end to end, over a part, or nowhere.
#pragma once

#include "geometry/curve/arc_path.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

// Two outlines, each within its budget of the exact map,
// count as lying on each other within this many millimetres.
inline constexpr double kTogether = 2.0 * tolerance::kMapped.value();

// The farthest that a place of one lies from the other, both ways, wherever their segments begin and end:
// reached, and short of it by no more than kApartPrecision. Infinite where one is empty.
inline constexpr double kApartPrecision = 1e-5;  // mm
double apart(const OpenArcPath& one, const OpenArcPath& other);

// Millimetres of `one` that lie within `near` of `other`, to a two hundredth of its length.
double length_on(const OpenArcPath& one, const OpenArcPath& other, double near = kTogether);

}  // namespace lastwright
