// Decimal fractions as text and back: fixed notation, a point, no trailing zeros, the same in every locale.
#pragma once

#include <array>
#include <cstdint>
#include <cstring>
#include <optional>
#include <string>
#include <string_view>

namespace lastwright {

// As std::llround, halves away from zero, without a call. Precondition: |value| < 9e18.
inline std::int64_t rounded(double value) {
  const auto whole = static_cast<std::int64_t>(value);
  const double rest = value - static_cast<double>(whole);  // exact
  return rest >= 0.5 ? whole + 1 : rest <= -0.5 ? whole - 1 : whole;
}

// Exact. Precondition: 0 <= exponent <= 18.
inline double power_of_ten(std::size_t exponent) {
  static constexpr std::array<double, 19> kPowers = {1.0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                                     1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};
  return kPowers[exponent];
}

inline constexpr std::size_t kLongestScaled = 32;  // characters that the following write at most

// Writes units of 10^-decimals with all their decimals, so that they end
// before `end`: (1500000, 6) is "1.500000". Returns the first character.
// Precondition: decimals <= 18; kLongestScaled characters before `end`.
inline char* digits_before(char* end, std::uint64_t units, std::size_t decimals) {
  static constexpr auto kPairs = [] {
    std::array<char, 200> pairs{};
    for (std::size_t i = 0; i < 100; ++i) {
      pairs[2 * i] = static_cast<char>('0' + i / 10);
      pairs[2 * i + 1] = static_cast<char>('0' + i % 10);
    }
    return pairs;
  }();
  char* at = end;
  const auto put_pair = [&] {
    at -= 2;
    std::memcpy(at, &kPairs[2 * (units % 100)], 2);
    units /= 100;
  };
  const auto put_digit = [&] {
    *--at = static_cast<char>('0' + units % 10);
    units /= 10;
  };
  if (decimals > 0) {
    for (; decimals >= 2; decimals -= 2) put_pair();
    if (decimals > 0) put_digit();
    *--at = '.';
  }
  while (units >= 100) put_pair();
  if (units >= 10) {
    put_pair();
  } else {
    put_digit();
  }
  return at;
}

inline std::uint64_t magnitude(std::int64_t value) {
  return value < 0 ? 0 - static_cast<std::uint64_t>(value) : static_cast<std::uint64_t>(value);
}

// The same with a sign and without trailing zeros: (-1500000, 6) is "-1.5". A value without decimals is
// followed by `of_whole`, at most 8 characters.
inline char* scaled_before(char* end, std::int64_t scaled, std::size_t decimals, std::string_view of_whole) {
  std::uint64_t units = magnitude(scaled);
  for (; decimals > 0 && units % 10 == 0; --decimals) units /= 10;
  if (decimals == 0) {
    end -= of_whole.size();
    std::memcpy(end, of_whole.data(), of_whole.size());
  }
  char* at = digits_before(end, units, decimals);
  if (scaled < 0) *--at = '-';
  return at;
}

inline void append_scaled(std::string& out, std::int64_t scaled, std::size_t decimals,
                          std::string_view of_whole) {
  std::array<char, kLongestScaled> text;
  char* const end = text.data() + text.size();
  const char* const first = scaled_before(end, scaled, decimals, of_whole);
  out.append(first, static_cast<std::size_t>(end - first));
}

// What a plain decimal ("-12.5", at most 15 digits) stands for, rounded as std::from_chars rounds it: both
// its digits and the power of ten are exact doubles, so that one division rounds once (Clinger, How to read
// floating point numbers accurately, 1990). Nothing for every other text.
inline std::optional<double> plain_decimal(std::string_view text) {
  constexpr std::size_t kExactDigits = 15;  // 10^15 < 2^53
  const bool negative = text.starts_with('-');
  if (negative) text.remove_prefix(1);
  if (text.size() > kExactDigits + 1) return std::nullopt;
  std::uint64_t digits = 0;
  std::size_t at = 0;
  const auto take_digits = [&] {
    for (; at < text.size() && text[at] >= '0' && text[at] <= '9'; ++at)
      digits = 10 * digits + static_cast<std::uint64_t>(text[at] - '0');
  };
  take_digits();
  const std::size_t whole = at;
  std::size_t decimals = 0;
  if (at < text.size()) {
    if (text[at] != '.') return std::nullopt;
    ++at;
    take_digits();
    decimals = at - whole - 1;
  }
  if (whole == 0 || at < text.size() || whole + decimals > kExactDigits) return std::nullopt;
  const double value = static_cast<double>(digits) / power_of_ten(decimals);
  return negative ? -value : value;
}

}  // namespace lastwright
