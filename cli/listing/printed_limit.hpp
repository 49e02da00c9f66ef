// Limits as a sheet of paper shows them: what may be read, by the rule that a batch is judged by.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "cli/listing/listing.hpp"
#include "grading/readings/reading_limits.hpp"
#include "grading/sizes/fraction.hpp"

namespace lastwright {

// Where a measure has no limit: it is read and not judged.
inline constexpr const char* kUnlimited = "no limit";

// Takes columns with these keys out of a listing.
void leave_out(Listing& listing, const std::vector<std::string>& keys);

// What readings are noted to, in its own unit.
struct NotedStep {
  Fraction step;
  bool inches = false;
  [[nodiscard]] Fraction millimetres() const { return inches ? step * Fraction(127, 5) : step; }
};
// Of a length in millimetres: to 0.001 of its unit where it is no finer part of one.
NotedStep noted_to(double millimetres, bool inches);

// The least and the greatest reading at this step that is judged to be within the limit. Nothing where none
// is known. `wanted`: mm.
struct PrintedLimits {
  ListingCell lowest;
  ListingCell highest;
};
PrintedLimits printed_limits(const std::optional<Limit>& limit, double wanted, const NotedStep& step);

// What the figures are, for the foot of the sheet.
std::string limits_rule(const std::vector<NotedStep>& steps);

}  // namespace lastwright
