#include "grading/readings/slips.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>

namespace lastwright {
namespace {

struct Factor {
  double by;
  const char* says;
};
constexpr std::array<Factor, 4> kFactors{{{10.0, "the decimal point one place on"},
                                          {0.1, "the decimal point one place back"},
                                          {25.4, "taken for inches"},
                                          {1.0 / 25.4, "taken for millimetres"}}};

}  // namespace

std::optional<std::string> likely_factor(double value, double low, double high) {
  for (const Factor& factor : kFactors) {
    const double meant = value * factor.by;
    if (meant >= low && meant <= high) return fmt::format("{:.4g} mm, {}, could", meant, factor.says);
  }
  return std::nullopt;
}

std::optional<std::string> likely_slip(const Reading& reading, double expected, double within) {
  const auto fits = [&](double meant) { return std::abs(meant - expected) <= within; };
  if (reading.inches) {  // a figure of the tape's own
    for (const auto& [part, words] :
         {std::pair{Fraction(1), "an inch"}, std::pair{Fraction(1, 2), "half an inch"}}) {
      for (const Fraction by : {part, -part}) {
        const double meant = reading.value + 25.4 * by.value();
        const Fraction noted(std::llround(meant / 25.4 * 64.0), 64);
        if (fits(meant)) return fmt::format("{} in would fit, {} misread", to_mixed(noted), words);
      }
    }
    return std::nullopt;
  }
  for (const double by : {10.0, -10.0, 100.0, -100.0, 20.0, -20.0}) {
    if (fits(reading.value + by))
      return fmt::format("{:.4g} mm would fit, one digit misread", reading.value + by);
  }
  // Two digits exchanged, of a value noted in decimal millimetres.
  std::string digits = fmt::format("{:g}", std::round(reading.value * 100.0) / 100.0);
  for (std::size_t i = 0; i + 1 < digits.size(); ++i) {
    if (digits[i] == '.' || digits[i + 1] == '.' || digits[i] == digits[i + 1]) continue;
    std::string other = digits;
    std::swap(other[i], other[i + 1]);
    double meant = 0.0;
    std::from_chars(other.data(), other.data() + other.size(), meant);
    if (fits(meant)) return fmt::format("{} mm would fit, two digits exchanged", other);
  }
  return std::nullopt;
}

}  // namespace lastwright
