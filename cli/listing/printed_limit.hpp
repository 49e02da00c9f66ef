// Limits as a sheet of paper shows them.
#pragma once

#include <cmath>
#include <optional>

#include "cli/listing/listing.hpp"
#include "grading/readings/reading_limits.hpp"

namespace lastwright {

// Tenths of a millimetre that the rounding of sums may come to.
inline constexpr double kReckonedTenths = 1e-6;

// To 0.1 mm and inward: a reading that is within what is printed is within the limit. Nothing where none is
// known. `wanted`: mm.
inline ListingCell printed_lowest(const std::optional<Limit>& limit, double wanted) {
  if (!limit) return {};
  return Figure{std::ceil(10.0 * (wanted - limit->below) - kReckonedTenths) / 10.0, 1};
}
inline ListingCell printed_highest(const std::optional<Limit>& limit, double wanted) {
  if (!limit) return {};
  return Figure{std::floor(10.0 * (wanted + limit->above) + kReckonedTenths) / 10.0, 1};
}

}  // namespace lastwright
