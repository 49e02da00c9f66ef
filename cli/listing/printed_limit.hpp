// Limits as a sheet of paper shows them.
#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/listing/listing.hpp"
#include "grading/readings/reading_limits.hpp"
#include "grading/sizes/fraction.hpp"

namespace lastwright {

// Where a measure has no limit: it is read and not judged.
inline constexpr const char* kNoLimit = "no limit";

// Takes columns with these keys out of a listing.
void leave_out(Listing& listing, const std::vector<std::string>& keys);

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

// Whole parts of an inch that a step is one of: 16 for a sixteenth; 64 for what is no such part.
inline std::int64_t parts_of_an_inch(double step) {
  const double parts = 25.4 / step;
  return std::abs(parts - std::round(parts)) < 1e-6 ? std::llround(parts) : 64;
}
// The same in inches, to that part of one.
inline ListingCell printed_lowest_inches(const std::optional<Limit>& limit, double wanted,
                                         std::int64_t parts) {
  if (!limit) return {};
  const double lowest = (wanted - limit->below) / 25.4 * static_cast<double>(parts);
  return to_mixed(Fraction(static_cast<std::int64_t>(std::ceil(lowest - kReckonedTenths)), parts));
}
inline ListingCell printed_highest_inches(const std::optional<Limit>& limit, double wanted,
                                          std::int64_t parts) {
  if (!limit) return {};
  const double highest = (wanted + limit->above) / 25.4 * static_cast<double>(parts);
  return to_mixed(Fraction(static_cast<std::int64_t>(std::floor(highest + kReckonedTenths)), parts));
}

}  // namespace lastwright
