// Decimal fractions as text: fixed notation, a point, no trailing zeros, the same in every locale.
#pragma once

#include <charconv>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>

namespace lastwright {

// As std::llround, halves away from zero, without a call. Precondition: |value| < 9e18.
inline std::int64_t rounded(double value) {
  const auto whole = static_cast<std::int64_t>(value);
  const double rest = value - static_cast<double>(whole);  // exact
  return rest >= 0.5 ? whole + 1 : rest <= -0.5 ? whole - 1 : whole;
}

// Appends a value given in units of 10^-decimals: (-1500000, 6) is "-1.5". `of_whole` follows a value without
// decimals. Precondition: decimals <= 18.
inline void append_scaled(std::string& out, std::int64_t scaled, int decimals, std::string_view of_whole) {
  char text[64];
  char* at = text;
  std::uint64_t left =
      scaled < 0 ? 0 - static_cast<std::uint64_t>(scaled) : static_cast<std::uint64_t>(scaled);
  if (scaled < 0) *at++ = '-';
  for (; decimals > 0 && left % 10 == 0; --decimals) left /= 10;
  char digits[24];
  const auto count = static_cast<int>(std::to_chars(digits, digits + sizeof digits, left).ptr - digits);
  const auto put = [&at](const char* from, int n) {
    std::memcpy(at, from, static_cast<std::size_t>(n));
    at += n;
  };
  const int whole = count > decimals ? count - decimals : 0;
  if (whole > 0) {
    put(digits, whole);
  } else {
    *at++ = '0';
  }
  if (decimals > 0) {
    *at++ = '.';
    for (int zeros = count; zeros < decimals; ++zeros) *at++ = '0';
    put(digits + whole, count - whole);
  }
  out.append(text, static_cast<std::size_t>(at - text));
  if (decimals == 0) out += of_whole;
}

}  // namespace lastwright
