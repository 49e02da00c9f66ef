#include "grading/readings/increments.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/sizes/fraction.hpp"

namespace lastwright {

std::vector<std::string> plain_increments(double value, double within) {
  constexpr double kInch = 25.4;  // mm
  struct Offer {
    double off;
    std::string text;
  };
  std::vector<Offer> offers;
  const auto offer = [&](double step, std::string text) {
    if (std::abs(step - value) <= within) offers.push_back({std::abs(step - value), std::move(text)});
  };
  const auto inch = [&](int numerator, int denominator) {
    const double step = kInch * numerator / denominator;
    offer(step, fmt::format("{} in ({:.2f} mm)", to_mixed(Fraction(numerator, denominator)), step));
  };
  // Plain ones first: sixteenths and whole millimetres; finer ones only where no plain one will do.
  for (int k = 1; k <= 16; ++k) inch(k, 16);
  for (int k = 1; k <= 20; ++k) offer(k, fmt::format("{} mm", k));
  if (offers.empty()) {
    for (const int part : {3, 6, 9, 12, 18}) inch(1, part);
    for (int k = 1; k <= 31; k += 2) inch(k, 32);
    for (int k = 1; k <= 39; k += 2) offer(0.5 * k, fmt::format("{:.1f} mm", 0.5 * k));
  }
  std::stable_sort(offers.begin(), offers.end(),
                   [](const Offer& a, const Offer& b) { return a.off < b.off; });
  std::vector<std::string> nearest;
  for (std::size_t i = 0; i < offers.size() && i < 2; ++i) nearest.push_back(offers[i].text);
  return nearest;
}

}  // namespace lastwright
