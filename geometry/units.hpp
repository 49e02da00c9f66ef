// Lengths and angles that name their unit.
//
// A bare double inside an algorithm is a length in millimetres or an angle in radians. Wherever a caller
// hands over a tolerance, an allowance or a limit, one of these types stands in the signature, so that
// inches, degrees and millimetres cannot be mixed up without a compile error (tests/compile-fail).
#pragma once

#include <compare>
#include <numbers>

namespace lastwright {

class Millimetres {
 public:
  constexpr Millimetres() = default;
  constexpr explicit Millimetres(double value) : value_(value) {}
  [[nodiscard]] constexpr double value() const { return value_; }
  constexpr auto operator<=>(const Millimetres&) const = default;

 private:
  double value_ = 0.0;
};

class Radians {
 public:
  constexpr Radians() = default;
  constexpr explicit Radians(double value) : value_(value) {}
  [[nodiscard]] constexpr double value() const { return value_; }
  constexpr auto operator<=>(const Radians&) const = default;

 private:
  double value_ = 0.0;
};

constexpr Radians from_degrees(double degrees) {
  return Radians(degrees * std::numbers::pi / 180.0);
}
constexpr double to_degrees(Radians angle) {
  return angle.value() * 180.0 / std::numbers::pi;
}

inline constexpr double kMillimetresPerInch = 25.4;  // exact by definition since 1959

}  // namespace lastwright
