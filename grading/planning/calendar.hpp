// Days by their number: enough of a calendar to say when a period begins. Proleptic Gregorian.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace lastwright {

// Days since 1970-01-01 of "2026-01-05"; nothing where there is no such day.
std::optional<long> day_number(std::string_view day);
std::string day_text(long number);

}  // namespace lastwright
