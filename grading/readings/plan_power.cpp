#include "grading/readings/plan_power.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lastwright {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

double normal_chance(double x) {
  return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

// What readings that scatter mostly by 1 and partly by kWideFactor tell of their middle, where those that
// scatter by 1 tell 1: the mean square of the slope of the logarithm of their density.
double information_of(double wide_part) {
  if (wide_part <= 0.0) return 1.0;
  constexpr double kReach = 24.0;  // six spreads of the wide part
  constexpr double kStep = 0.05;   // a sum of smooth functions over all of the line: exact to 1e-9
  double sum = 0.0;
  for (double x = -kReach; x <= kReach; x += kStep) {
    const double narrow = (1.0 - wide_part) * std::exp(-0.5 * x * x);
    const double y = x / kWideFactor;
    const double wide = wide_part / kWideFactor * std::exp(-0.5 * y * y);
    const double slope = narrow * x + wide * y / kWideFactor;
    sum += slope * slope / (narrow + wide);
  }
  return sum * kStep / std::sqrt(2.0 * std::numbers::pi);
}

// What readings would show: noise of each block, without what sound work may do, plus the fault.
class Expected {
 public:
  Expected(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
           const SearchOptions& options)
      : layout_(layout), cause_(cause), amount_(amount), options_(options), true_noise_(noise) {
    true_noise_.reading /= std::sqrt(information_of(noise.wide_part));
    for (const PlacedReading& one : layout.readings) {
      const double step = one.interval.high - one.interval.low;
      rounding_.push_back(step * step / 12.0);
    }
    for (const Block& block : layout.blocks) {
      MatrixXd own = own_covariance(layout, block, true_noise_);
      for (Index i = 0; i < block.count; ++i) own(i, i) += 1.0 / weight_of(true_noise_, block.first + i);
      shown_.push_back(std::move(own));
    }
    column_ = VectorXd::Zero(layout.count());
    for (const auto& [row, value] : cause.column) column_(row) = value;
    strength_ = precision_of(true_noise_, {}).square(cause.column);
  }

  // The least amount that is named in kAskedPower, in tenths of a millimetre; empty: not up to `most` of
  // them.
  [[nodiscard]] std::optional<double> least_amount(int most) {
    const auto shows = [&](int tenths, bool plainly) {
      amount_ = 0.1 * tenths;
      return (plainly ? plain_power() : power()) >= kAskedPower;
    };
    int least = 1;  // what is not even shown plainly is not shown
    while (least <= most && !shows(least, true)) ++least;
    int below = least - 1;
    int step = 1;
    int above = least;
    for (; above <= most && !shows(above, false); step *= 2) {
      below = above;
      above = std::min(above + step, above < most ? most : most + 1);
    }
    if (above > most) return std::nullopt;
    while (above - below > 1) {
      const int middle = (above + below) / 2;
      (shows(middle, false) ? above : below) = middle;
    }
    return 0.1 * above;
  }

  // The chance that the gain pays the price, with the noise as it is.
  [[nodiscard]] double plain_power() const {
    if (strength_ <= 0.0) return 0.0;
    const double spread = std::abs(amount_) * std::sqrt(strength_);
    double gain = 0.5 * spread * spread + cause_.log_prior - threshold();
    if (!cause_.known()) gain -= 0.5 * std::log1p(cause_.amount_spread * cause_.amount_spread * strength_);
    const double plain = normal_chance(gain / spread);
    return cause_.known() ? std::min(plain, power_beside_slips()) : plain;
  }

  // The same where the noise may be taken for another to hide the fault: never more.
  [[nodiscard]] double power() const {
    const double plain = plain_power();
    if (cause_.known() || plain > kPlainly || layout_.lasts.size() > kLearntLasts) return plain;
    const BatchNoise sound = best_noise(false);
    const double gain = height(best_noise(true), true) - height(sound, false) + cause_.log_prior;
    const VectorXd weighted = precision_of(sound, {}).times(column_);
    double variance = 0.0;
    for (std::size_t b = 0; b < layout_.blocks.size(); ++b) {
      const Block& block = layout_.blocks[b];
      const VectorXd own = weighted.segment(block.first, block.count);
      variance += own.dot(shown_[b] * own);
    }
    return std::min(plain, normal_chance((gain - threshold()) / (std::abs(amount_) * std::sqrt(variance))));
  }

 private:
  // A fault as plain as this, six standard deviations, is not hidden by any noise.
  static constexpr double kPlainly = 1.0 - 1e-9;
  // So many lasts tell their noise so well that it hides nothing: the other bound is higher.
  static constexpr std::size_t kLearntLasts = 100;

  [[nodiscard]] double threshold() const { return std::log(options_.sure / (1.0 - options_.sure)); }

  [[nodiscard]] double weight_of(const BatchNoise& noise, Index row) const {
    const double scatter = scatter_of(layout_.readings[static_cast<std::size_t>(row)], noise);
    return 1.0 / (scatter * scatter + rounding_[static_cast<std::size_t>(row)]);
  }
  // The same where each reading may as well be a slip or a wide one: a single one proves nothing. The gain
  // of a reading is then the logarithm of two chances, and varies with its error by the slopes of both.
  [[nodiscard]] double power_beside_slips() const {
    constexpr double kLeastWide = 0.005;  // part of wide readings that is thought possible of any batch
    double gain = cause_.log_prior - threshold();
    double variance = 0.0;
    for (const auto& [row, value] : cause_.column) {
      const PlacedReading& read = layout_.readings[static_cast<std::size_t>(row)];
      const ReadingInterval& interval = read.interval;
      const ReadingNoise reading{scatter_of(read, true_noise_), std::max(true_noise_.wide_part, kLeastWide),
                                 true_noise_.slip_part};
      const double half = 0.5 * (interval.high - interval.low);
      const ReadingChance off = chance_of({value - half, value + half}, 0.0, reading);
      gain += chance_of({-half, half}, 0.0, reading).log_chance - off.log_chance;
      const double error = off.slope * reading.spread;
      variance += error * error + 0.5;  // 0.5: of half a squared normal error
    }
    return variance > 0.0 ? normal_chance(gain / std::sqrt(variance)) : 0.0;
  }
  [[nodiscard]] VectorXd weights_of(const BatchNoise& noise) const {
    VectorXd weights(layout_.count());
    for (Index i = 0; i < layout_.count(); ++i) weights(i) = weight_of(noise, i);
    return weights;
  }
  [[nodiscard]] Precision precision_of(const BatchNoise& noise, const std::vector<VectorXd>& extra) const {
    return {layout_, noise, weights_of(noise), extra};
  }

  [[nodiscard]] double height(const BatchNoise& noise, bool with_cause) const {
    std::vector<VectorXd> extra;
    if (with_cause) extra.emplace_back(column_ * cause_.amount_spread);
    const Precision precision = precision_of(noise, extra);
    const double trace = amount_ * amount_ * precision.square(cause_.column) + precision.trace_with(shown_);
    const double log_weights = weights_of(noise).array().log().sum();
    return -0.5 * (precision.log_determinant() - log_weights + trace) + log_prior_of(noise, options_.noise);
  }

  [[nodiscard]] BatchNoise best_noise(bool with_cause) const {
    BatchNoise best = true_noise_;
    if (cause_.known()) return best;
    double top = height(best, with_cause);
    for (const double factor : {1.6, 1.25}) {
      for (double BatchNoise::*spread :
           {&BatchNoise::reading, &BatchNoise::pair, &BatchNoise::last, &BatchNoise::last_pair}) {
        if (best.*spread <= 0.0) continue;
        for (const double by : {factor, 1.0 / factor}) {
          for (;;) {
            BatchNoise next = best;
            next.*spread *= by;
            const bool shared = spread != &BatchNoise::reading;
            if (next.*spread < 0.02 || (shared && next.*spread > options_.noise.most_shared)) break;
            const double now = height(next, with_cause);
            if (now <= top + 1e-3) break;
            top = now;
            best = next;
          }
        }
      }
    }
    return best;
  }

  const BatchLayout& layout_;
  const Cause& cause_;
  double amount_;
  const SearchOptions& options_;
  BatchNoise true_noise_;
  std::vector<double> rounding_;  // by reading, variance of it
  std::vector<MatrixXd> shown_;   // by block
  VectorXd column_;
  double strength_ = 0.0;  // what the readings tell of the amount: one over the variance of its estimate
};

}  // namespace

double power_of(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
                const SearchOptions& options) {
  if (layout.lasts.size() < options.least_lasts && !cause.of_one_item()) return 0.0;
  return Expected(layout, cause, amount, noise, options).power();
}

std::optional<double> least_shown(const BatchLayout& layout, const Cause& cause, const BatchNoise& noise,
                                  const SearchOptions& options) {
  constexpr int kMostTenths = 100;  // a last a centimetre off needs no reckoning
  if (cause.known() || (layout.lasts.size() < options.least_lasts && !cause.of_one_item()))
    return std::nullopt;
  return Expected(layout, cause, 1.0, noise, options).least_amount(kMostTenths);
}

bool within_sound_work(const BatchLayout& layout, const Cause& cause, double amount,
                       const SearchOptions& options) {
  if (cause.known()) return false;
  BatchNoise none;
  none.reading = 0.01;  // millimetres; what is rounded may lie anywhere in its step all the same
  none.pair = none.last = none.last_pair = none.own = none.wide_part = 0.0;
  return Expected(layout, cause, amount, none, options).plain_power() < kAskedPower;
}

bool surely_shown(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
                  const SearchOptions& options) {
  if (layout.lasts.size() < options.least_lasts && !cause.of_one_item()) return false;
  const Expected expected(layout, cause, amount, noise, options);
  // What does not pay its price on average is not shown, whatever the noise is taken for.
  return expected.plain_power() >= 0.5 && expected.power() >= kAskedPower;
}

}  // namespace lastwright
