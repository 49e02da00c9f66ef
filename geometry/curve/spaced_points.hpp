// Points at given shares of the length of a run of curves.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/curve/curve.hpp"

namespace lastwright {

// One point for each share, within 1e-6 mm along the run. The same line gives
// the same points however it is cut into curves and whatever their parameters
// are. Precondition: shares rise from 0 to 1; the curves follow each other.
std::vector<Vec2> points_at_shares(const std::vector<Curve>& run, const std::vector<double>& shares);

// `parts` + 1 of them at equal lengths, both ends included.
std::vector<Vec2> spaced_points(const std::vector<Curve>& run, std::size_t parts);

}  // namespace lastwright
