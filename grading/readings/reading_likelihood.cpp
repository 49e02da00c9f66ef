#include "grading/readings/reading_likelihood.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lastwright {
namespace {

constexpr double kNoChance = 1e-290;  // below it the logarithm is no number any more

double density(double x) {
  return std::exp(-0.5 * x * x) / std::sqrt(2.0 * std::numbers::pi);
}

struct NormalPart {
  double chance = 0.0;
  double slope = 0.0;
  double weight = 0.0;
};

NormalPart normal_part(const ReadingInterval& reading, double expected, double spread) {
  const double a = (reading.low - expected) / spread;
  const double b = (reading.high - expected) / spread;
  NormalPart part;
  part.chance = normal_between(a, b);
  if (part.chance < kNoChance) return {};
  const double at_a = density(a);
  const double at_b = density(b);
  part.slope = (at_a - at_b) / (spread * part.chance);
  part.weight = part.slope * part.slope - (a * at_a - b * at_b) / (spread * spread * part.chance);
  return part;
}

}  // namespace

double normal_between(double a, double b) {
  if (a > 0.0) return normal_between(-b, -a);
  return 0.5 * (std::erfc(-b / std::numbers::sqrt2) - std::erfc(-a / std::numbers::sqrt2));
}

ReadingChance chance_of(const ReadingInterval& reading, double expected, const ReadingNoise& noise) {
  const NormalPart narrow = normal_part(reading, expected, std::hypot(noise.spread, noise.own));
  const NormalPart wide = normal_part(reading, expected, std::hypot(kWideFactor * noise.spread, noise.own));
  const double of_narrow = (1.0 - noise.wide_part - noise.slip_part) * narrow.chance;
  const double of_wide = noise.wide_part * wide.chance;
  const double chance = of_narrow + of_wide + noise.slip_part * (reading.high - reading.low) / kSlipReach;
  ReadingChance made;
  made.log_chance = std::log(chance);
  made.narrow = of_narrow / chance;
  const double share = of_wide / chance;
  made.slope = made.narrow * narrow.slope + share * wide.slope;
  made.weight = std::max(kLeastWeight, made.narrow * narrow.weight + share * wide.weight);
  return made;
}

}  // namespace lastwright
