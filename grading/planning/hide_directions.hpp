// Lines along which pieces lie on a hide, in parts that run one way.
#pragma once

#include <vector>

#include "geometry/vec2.hpp"

namespace lastwright {

inline constexpr double kOneWay = 4.0;  // degrees

// The parts of a line in its order, none of which anywhere runs more than kOneWay off the chord between its
// ends: each leg of a bent line is one, an arc gives many. Steps shorter than a millimetre, as the ends of
// joined lines have them, have no way of their own.
std::vector<std::vector<Vec2>> one_way_parts(const std::vector<Vec2>& line);

}  // namespace lastwright
