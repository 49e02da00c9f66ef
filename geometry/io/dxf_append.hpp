// Appends DXF tags to a text: fixed notation, a point, no trailing zeros, the same in every locale.
#pragma once

#include <charconv>
#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

namespace lastwright {

// value in units of 10^-decimals, written as a decimal fraction: (-1500000, 6) is "-1.5".
inline void append_scaled(std::string& out, std::int64_t scaled, int decimals) {
  char digits[24];
  std::uint64_t left =
      scaled < 0 ? 0 - static_cast<std::uint64_t>(scaled) : static_cast<std::uint64_t>(scaled);
  while (decimals > 0 && left % 10 == 0) {
    left /= 10;
    --decimals;
  }
  if (scaled < 0) out += '-';
  const auto end = std::to_chars(digits, digits + sizeof digits, left).ptr;
  const int count = static_cast<int>(end - digits);
  if (decimals == 0) {
    out.append(digits, static_cast<std::size_t>(count));
    out += ".0";
    return;
  }
  if (count > decimals) {
    out.append(digits, static_cast<std::size_t>(count - decimals));
  } else {
    out += '0';
  }
  out += '.';
  if (count < decimals) out.append(static_cast<std::size_t>(decimals - count), '0');
  const int tail = count < decimals ? count : decimals;
  out.append(end - tail, static_cast<std::size_t>(tail));
}

// Precondition: |value| below 9e18 / 10^decimals.
inline void append_decimal(std::string& out, double value, int decimals) {
  constexpr double kPowers[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12};
  append_scaled(out, std::llround(value * kPowers[decimals]), decimals);
}

inline void append_whole(std::string& out, std::uint64_t value, int base = 10) {
  char digits[24];
  const auto end = std::to_chars(digits, digits + sizeof digits, value, base).ptr;
  for (const char* d = digits; d != end; ++d) out += *d >= 'a' ? static_cast<char>(*d - 'a' + 'A') : *d;
}

}  // namespace lastwright
