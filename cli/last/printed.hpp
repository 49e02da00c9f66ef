// What is printed rounded to nothing has no sign: 0.000, not -0.000.
#pragma once

#include <cmath>

#include "geometry/solid/vec3.hpp"

namespace lastwright {

inline double printed(double value, int decimals) {
  return std::abs(value) < 0.5 * std::pow(10.0, -decimals) ? 0.0 : value;
}
inline Vec3 printed(Vec3 p, int decimals) {
  return {printed(p.x, decimals), printed(p.y, decimals), printed(p.z, decimals)};
}

}  // namespace lastwright
