#include "grading/readings/gauge_step.hpp"

#include <cmath>
#include <numeric>
#include <set>

namespace lastwright {

namespace {

constexpr std::int64_t kFinest = 1000;  // parts of a unit
constexpr double kByChance = 1e-4;
constexpr double kOneByChance =
    1e-2;                         // where one alone is no multiple: four others show 0.5 mm beside 0.1 mm
constexpr std::size_t kFew = 20;  // one in so many

// Both divide the unit; 0: finer than any.
std::int64_t common(std::int64_t a, std::int64_t b) {
  if (a == 0 || b == 0) return 0;
  const std::int64_t both = std::lcm(a, b);
  return both > kFinest ? 0 : both;
}

// The probability that of n readings no more than `odd` are no multiples of a step, where one is by chance
// with this probability.
double by_chance(std::size_t n, std::size_t odd, double multiple) {
  double sum = 0.0;
  const double log_yes = std::log(multiple);
  const double log_no = std::log1p(-multiple);
  for (std::size_t k = 0; k <= odd; ++k) {
    const double ways = std::lgamma(static_cast<double>(n) + 1.0) -
                        std::lgamma(static_cast<double>(k) + 1.0) -
                        std::lgamma(static_cast<double>(n - k) + 1.0);
    sum += std::exp(ways + static_cast<double>(n - k) * log_yes + static_cast<double>(k) * log_no);
  }
  return sum;
}

}  // namespace

std::int64_t GaugeStep::parts_of(Fraction noted) const {
  if (noted.denominator() > kFinest) return 0;
  return common(noted.denominator(), inches_ ? 16 : 1);
}

std::int64_t GaugeStep::common_parts() const {
  // Steps that some of the readings show together, the coarsest first.
  std::set<std::int64_t> steps;
  std::size_t n = 0;
  for (const auto& [parts, count] : count_of_) {
    n += count;
    if (parts == 0) continue;
    std::set<std::int64_t> more{parts};
    for (const std::int64_t step : steps) more.insert(common(step, parts));
    steps.merge(more);
  }
  steps.erase(0);
  for (const std::int64_t step : steps) {
    std::size_t odd = 0;
    std::int64_t finer = step;  // as those show that are no multiples
    for (const auto& [parts, count] : count_of_) {
      if (parts != 0 && step % parts == 0) continue;
      odd += count;
      finer = common(finer, parts);
    }
    if (odd == 0) return step;
    if (odd > 1 && kFew * odd > n) continue;
    const double multiple = static_cast<double>(step) / static_cast<double>(finer == 0 ? 2 * kFinest : finer);
    if (by_chance(n, odd, multiple) < (odd == 1 ? kOneByChance : kByChance)) return step;
  }
  return 0;
}

double GaugeStep::millimetres(std::int64_t parts) const {
  return parts == 0 ? 0.0 : (inches_ ? 25.4 : 1.0) / static_cast<double>(parts);
}

double GaugeStep::of(Fraction noted) {
  if (!common_) common_ = common_parts();
  const std::int64_t step = *common_;
  const std::int64_t own = parts_of(noted);
  if (own != 0 && step != 0 && step % own == 0) return millimetres(step);
  return millimetres(common(step, own));
}

double noted_step(Fraction step, bool inches) {
  GaugeStep shown(inches);
  shown.add(step);
  return shown.of(step);
}

}  // namespace lastwright
