// Exact fractions: sizes are counted in halves and thirds, and tables must add up to the last digit.
#pragma once

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

// Always in lowest terms with a positive denominator. Arithmetic that would leave 64 bits throws
// InvariantBroken; readers keep their numbers far below that (Result-returning factories refuse them).
class Fraction {
 public:
  constexpr Fraction() = default;
  // NOLINTNEXTLINE(google-explicit-constructor): 3 is a fraction
  constexpr Fraction(std::int64_t whole) : num_(whole) {}
  Fraction(std::int64_t numerator, std::int64_t denominator);  // precondition: denominator != 0

  [[nodiscard]] constexpr std::int64_t numerator() const { return num_; }
  [[nodiscard]] constexpr std::int64_t denominator() const { return den_; }
  [[nodiscard]] double value() const { return static_cast<double>(num_) / static_cast<double>(den_); }
  [[nodiscard]] std::int64_t floor() const;

  friend Fraction operator+(Fraction a, Fraction b);
  friend Fraction operator-(Fraction a, Fraction b);
  friend Fraction operator*(Fraction a, Fraction b);
  friend Fraction operator/(Fraction a, Fraction b);  // precondition: b != 0
  Fraction operator-() const;
  bool operator==(const Fraction&) const = default;
  friend std::strong_ordering operator<=>(Fraction a, Fraction b);

 private:
  std::int64_t num_ = 0;
  std::int64_t den_ = 1;
};

// Reads "8", "-3", "8.5", "1/3", "8 1/3", "8½" exactly. Decimals beyond the ninth, as a script writes them
// (2.1166666666666667), are rounded to nine: at most 5e-10 off. Refuses everything else, more than 40 decimals,
// and other parts beyond 9 digits.
Result<Fraction> parse_fraction(std::string_view text);

// "8 1/3", "1/6", "-1/4", "12".
std::string to_mixed(Fraction value);

// As a size is stamped: "8.5", "12"; as to_mixed does where no decimal of at most 9 places is exact.
std::string to_decimal(Fraction value);

// With that many decimals (0 to 9), rounded exactly: half a last digit goes away from zero, whatever its
// binary value. 224.775 is "224.78", 231.125 is "231.13"; never "-0.00".
std::string to_places(Fraction value, int places);

// The nearest multiple of `step` (precondition: step > 0); half a step goes away from zero.
Fraction round_to(Fraction value, Fraction step);

}  // namespace lastwright
