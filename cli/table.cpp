#include "cli/table.hpp"

#include <charconv>
#include <cmath>
#include <string_view>

namespace lastwright {

std::string with_decimals(double value, int decimals) {
  if (!std::isfinite(value)) return {};
  char buffer[400];  // the largest double has 309 digits before the point
  const auto end = std::to_chars(buffer, buffer + sizeof buffer, value, std::chars_format::fixed, decimals);
  const std::string_view digits(buffer, static_cast<std::size_t>(end.ptr - buffer));
  const bool minus_nothing =
      digits.front() == '-' && digits.find_first_not_of("-0.") == std::string_view::npos;
  return std::string(minus_nothing ? digits.substr(1) : digits);
}

}  // namespace lastwright
