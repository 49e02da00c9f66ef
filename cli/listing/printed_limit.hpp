// Limits as a sheet of paper shows them.
#pragma once

#include <cmath>
#include <optional>

#include "cli/listing/listing.hpp"
#include "grading/readings/reading_limits.hpp"

namespace lastwright {

// To 0.1 mm and inward: a reading that is within what is printed is within the limit. Nothing where none is
// known. `wanted`: mm.
inline ListingCell printed_lowest(const std::optional<Limit>& limit, double wanted) {
  constexpr double kReckoned = 1e-6;  // tenths of a millimetre that rounding of sums may be off
  if (!limit) return {};
  return Figure{std::ceil(10.0 * (wanted - limit->below) - kReckoned) / 10.0, 1};
}
inline ListingCell printed_highest(const std::optional<Limit>& limit, double wanted) {
  constexpr double kReckoned = 1e-6;
  if (!limit) return {};
  return Figure{std::floor(10.0 * (wanted + limit->above) + kReckoned) / 10.0, 1};
}

}  // namespace lastwright
