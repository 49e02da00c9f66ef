// Appends DXF tags to a text: fixed notation, a point, no trailing zeros, the same in every locale.
#pragma once

#include <array>
#include <charconv>
#include <cstdint>
#include <cstring>
#include <string>
#include <string_view>

#include "geometry/io/decimal_text.hpp"

namespace lastwright {

inline constexpr std::size_t kCoordinateDigits = 6;  // tolerance::kDrawingGrid

// "10\n-1.5\n": `code` is the line of the group code with its line end, at most 8 characters.
// Precondition: |value| below 9e18 / 10^decimals.
inline void append_real(std::string& out, std::string_view code, double value, std::size_t decimals) {
  std::array<char, kLongestScaled + 16> text;
  char* const end = text.data() + text.size();
  char* at = end;
  *--at = '\n';
  at = scaled_before(at, rounded(value * power_of_ten(decimals)), decimals, ".0");
  at -= code.size();
  std::memcpy(at, code.data(), code.size());
  out.append(at, static_cast<std::size_t>(end - at));
}

inline void append_decimal(std::string& out, double value, std::size_t decimals) {
  append_scaled(out, rounded(value * power_of_ten(decimals)), decimals, ".0");
}

inline void append_whole(std::string& out, std::uint64_t value, int base = 10) {
  char digits[24];
  const auto end = std::to_chars(digits, digits + sizeof digits, value, base).ptr;
  for (const char* d = digits; d != end; ++d) out += *d >= 'a' ? static_cast<char>(*d - 'a' + 'A') : *d;
}

}  // namespace lastwright
