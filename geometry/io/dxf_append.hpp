// Appends DXF tags to a text: fixed notation, a point, no trailing zeros, the same in every locale.
#pragma once

#include <charconv>
#include <cstdint>
#include <string>
#include <string_view>

#include "geometry/io/decimal_text.hpp"

namespace lastwright {

// Precondition: |value| below 9e18 / 10^decimals.
inline void append_decimal(std::string& out, double value, int decimals) {
  constexpr double kPowers[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12};
  append_scaled(out, rounded(value * kPowers[decimals]), decimals, ".0");
}

inline void append_whole(std::string& out, std::uint64_t value, int base = 10) {
  char digits[24];
  const auto end = std::to_chars(digits, digits + sizeof digits, value, base).ptr;
  for (const char* d = digits; d != end; ++d) out += *d >= 'a' ? static_cast<char>(*d - 'a' + 'A') : *d;
}

}  // namespace lastwright
