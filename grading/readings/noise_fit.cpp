#include "grading/readings/noise_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace lastwright {
namespace {

// The share of wide readings, and what each is believed before the batch speaks.
constexpr std::array<double, 4> kWideParts{0.005, 0.02, 0.06, 0.15};
constexpr std::array<double, 4> kWidePriors{0.35, 0.3, 0.2, 0.15};

constexpr std::array<double BatchNoise::*, 5> kSpreads{
    &BatchNoise::reading, &BatchNoise::pair, &BatchNoise::last, &BatchNoise::last_pair, &BatchNoise::own};

double normal_log(double value, double middle, double spread) {
  const double off = std::log(value / middle) / spread;
  return -0.5 * off * off;
}

std::size_t wide_place(double part) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < kWideParts.size(); ++i) {
    if (std::abs(kWideParts[i] - part) < std::abs(kWideParts[best] - part)) best = i;
  }
  return best;
}

}  // namespace

BatchNoise usual_noise(const BatchLayout& layout, const NoisePrior& prior) {
  BatchNoise noise;
  noise.reading = prior.reading;
  noise.pair = layout.both_hands ? prior.pair : 0.0;
  noise.last = layout.several_girths ? prior.last : 0.0;
  noise.last_pair = layout.several_girths && layout.both_hands ? prior.last : 0.0;
  noise.own = layout.repeats ? prior.own : 0.0;
  return noise;
}

double log_prior_of(const BatchNoise& noise, const NoisePrior& prior) {
  double sum = normal_log(noise.reading, prior.reading, prior.reading_log);
  if (noise.pair > 0) sum += normal_log(noise.pair, prior.pair, prior.shared_log);
  if (noise.last > 0) sum += normal_log(noise.last, prior.last, prior.shared_log);
  if (noise.last_pair > 0) sum += normal_log(noise.last_pair, prior.last, prior.shared_log);
  if (noise.own > 0) sum += normal_log(noise.own, prior.own, prior.shared_log);
  return sum + std::log(kWidePriors[wide_place(noise.wide_part)]);
}

FittedNoise fit_noise(const BatchLayout& layout, const Hypothesis& hypothesis, const BatchNoise& begin,
                      const NoisePrior& prior, const Eigen::VectorXd& start) {
  FittedNoise best{begin, log_prior_of(begin, prior), evidence_of(layout, hypothesis, begin, start)};
  const auto better = [&](const BatchNoise& noise) {
    FittedNoise made{noise, log_prior_of(noise, prior),
                     evidence_of(layout, hypothesis, noise, best.mode.departure)};
    if (made.log_posterior() <= best.log_posterior() + 1e-3) return false;
    best = std::move(made);
    return true;
  };
  const auto try_spread = [&](double BatchNoise::*spread, double factor) {
    BatchNoise noise = best.noise;
    noise.*spread *= factor;
    if (noise.*spread > prior.most_shared && spread != &BatchNoise::reading) return false;
    if (noise.*spread < 0.02 || noise.*spread > 20.0) return false;
    return better(noise);
  };
  for (const bool fine : {false, true}) {
    for (double BatchNoise::*spread : kSpreads) {
      if (best.noise.*spread <= 0.0) continue;
      double factor = spread == &BatchNoise::reading ? 1.25 : 1.6;
      if (fine) factor = std::sqrt(factor);
      if (try_spread(spread, factor)) {
        while (try_spread(spread, factor)) {
        }
      } else {
        while (try_spread(spread, 1.0 / factor)) {
        }
      }
    }
    if (fine) break;
    const std::size_t wide = wide_place(best.noise.wide_part);
    for (const std::size_t place : {wide + 1, wide - 1}) {
      if (place >= kWideParts.size()) continue;
      BatchNoise noise = best.noise;
      noise.wide_part = kWideParts[place];
      if (better(noise)) break;
    }
  }
  return best;
}

}  // namespace lastwright
