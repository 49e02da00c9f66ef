#include "cli/tables/table.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <string_view>

#include "geometry/io/decimal_text.hpp"

namespace lastwright {

namespace {

void append_slowly(std::string& text, double value, int decimals) {
  char buffer[400];  // the largest double has 309 digits before the point
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, decimals);
  const std::string_view digits(buffer, static_cast<std::size_t>(end.ptr - buffer));
  const bool minus_nothing =
      digits.front() == '-' && digits.find_first_not_of("-0.") == std::string_view::npos;
  text += minus_nothing ? digits.substr(1) : digits;
}

}  // namespace

void append_with_decimals(std::string& text, double value, int decimals) {
  if (!std::isfinite(value)) return;
  // Many times as fast: the digits of the rounded multiple of the last decimal. The product is off by 1e-7 at
  // most; nearer than that to a half the value itself decides.
  constexpr double kMost = 1e9;
  constexpr double kNearHalf = 1e-6;
  const double scaled = std::abs(value) * power_of_ten(static_cast<std::size_t>(decimals));
  const double past_half = scaled - std::floor(scaled) - 0.5;
  if (!(scaled < kMost) || std::abs(past_half) < kNearHalf) {
    append_slowly(text, value, decimals);
    return;
  }
  const std::uint64_t units = static_cast<std::uint64_t>(scaled) + (past_half > 0.0 ? 1 : 0);
  std::array<char, kLongestScaled> digits;
  char* const end = digits.data() + digits.size();
  char* at = digits_before(end, units, static_cast<std::size_t>(decimals));
  if (value < 0.0 && units > 0) *--at = '-';
  text.append(at, static_cast<std::size_t>(end - at));
}

std::string with_decimals(double value, int decimals) {
  std::string text;
  append_with_decimals(text, value, decimals);
  return text;
}

}  // namespace lastwright
