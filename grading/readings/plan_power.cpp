#include "grading/readings/plan_power.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "grading/readings/asked_faults.hpp"
#include "grading/readings/wording.hpp"

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
  }

  // The chance that the gain pays the price, with the noise as it is.
  [[nodiscard]] double plain_power() const {
    const double strength = precision_of(true_noise_, {}).square(cause_.column);
    if (strength <= 0.0) return 0.0;
    const double spread = std::abs(amount_) * std::sqrt(strength);
    double gain = 0.5 * spread * spread + cause_.log_prior - threshold();
    if (!cause_.known()) gain -= 0.5 * std::log1p(cause_.amount_spread * cause_.amount_spread * strength);
    const double plain = normal_chance(gain / spread);
    return cause_.known() ? std::min(plain, power_beside_slips()) : plain;
  }

  // The same where the noise may be taken for another to hide the fault.
  [[nodiscard]] double power() const {
    const double plain = plain_power();
    if (cause_.known() || plain > kPlainly || layout_.lasts.size() > kManyLasts) return plain;
    const BatchNoise sound = best_noise(false);
    const double gain = height(best_noise(true), true) - height(sound, false) + cause_.log_prior;
    const VectorXd weighted = precision_of(sound, {}).times(column_);
    double variance = 0.0;
    for (std::size_t b = 0; b < layout_.blocks.size(); ++b) {
      const Block& block = layout_.blocks[b];
      const VectorXd own = weighted.segment(block.first, block.count);
      variance += own.dot(shown_[b] * own);
    }
    return normal_chance((gain - threshold()) / (std::abs(amount_) * std::sqrt(variance)));
  }

 private:
  // A fault as plain as this, six standard deviations, is not hidden by any noise.
  static constexpr double kPlainly = 1.0 - 1e-9;
  // So many lasts tell their noise so well that it hides nothing.
  static constexpr std::size_t kManyLasts = 400;

  [[nodiscard]] double threshold() const { return std::log(options_.sure / (1.0 - options_.sure)); }

  [[nodiscard]] double weight_of(const BatchNoise& noise, Index row) const {
    return 1.0 / (noise.reading * noise.reading + rounding_[static_cast<std::size_t>(row)]);
  }
  // The same where each reading may as well be a slip or a wide one: a single one proves nothing. The gain
  // of a reading is then the logarithm of two chances, and varies with its error by the slopes of both.
  [[nodiscard]] double power_beside_slips() const {
    constexpr double kLeastWide = 0.005;  // part of wide readings that is thought possible of any batch
    const ReadingNoise reading{true_noise_.reading, std::max(true_noise_.wide_part, kLeastWide),
                               true_noise_.slip_part};
    double gain = cause_.log_prior - threshold();
    double variance = 0.0;
    for (const auto& [row, value] : cause_.column) {
      const ReadingInterval& interval = layout_.readings[static_cast<std::size_t>(row)].interval;
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
};

}  // namespace

std::vector<Reading> planned_readings(const ReadingPlanOptions& plan, const MeasureTable& table) {
  std::vector<Reading> readings;
  int number = 0;
  for (const Size& size : plan.sizes) {
    for (const Width& width : plan.widths) {
      for (int pair = 0; pair < plan.pairs; ++pair) {
        ++number;
        for (const Foot foot : {Foot::kLeft, Foot::kRight}) {
          for (const std::size_t m : plan.measures) {
            Reading reading;
            reading.id = fmt::format("L{:04}", number);
            reading.foot = foot;
            reading.stamped = {size, width};
            reading.measure = m;
            reading.value = table.value(m, reading.stamped);
            reading.gauge = plan.tapes > 1 ? fmt::format("gauge {}", number % plan.tapes + 1) : std::string();
            reading.step = plan.step;
            readings.push_back(std::move(reading));
          }
        }
      }
    }
  }
  return readings;
}

BatchNoise noise_of(const ReadingPlanOptions& plan, const BatchLayout& layout, const NoisePrior& prior) {
  BatchNoise noise = usual_noise(layout, prior);
  noise.reading = plan.spread;
  noise.wide_part = 0.0;
  if (!plan.noise) return noise;
  // What the batch could not show of it stays the usual.
  BatchNoise shown = *plan.noise;
  for (double BatchNoise::*spread : {&BatchNoise::pair, &BatchNoise::last, &BatchNoise::last_pair}) {
    if (shown.*spread <= 0.0) shown.*spread = noise.*spread;
    if (noise.*spread <= 0.0) shown.*spread = 0.0;
  }
  if (noise.own <= 0.0) {  // read once, the two cannot be told apart
    shown.reading = std::hypot(shown.reading, shown.own);
    shown.own = 0.0;
  }
  return shown;
}

double power_of(const BatchLayout& layout, const Cause& cause, double amount, const BatchNoise& noise,
                const SearchOptions& options) {
  if (layout.lasts.size() < options.least_lasts && !cause.of_one_item()) return 0.0;
  return Expected(layout, cause, amount, noise, options).power();
}

namespace {

// The same plan with so many pairs of each size and width, and what it is asked.
class PlanTrial {
 public:
  PlanTrial(ReadingPlanOptions plan, int pairs, const MeasureTable& table, const SizeRun& run,
            const SearchOptions& options, const AskedAmounts& amounts)
      : options_(options) {
    plan.pairs = pairs;
    layout_ = lay_out(planned_readings(plan, table), table);
    layout_.ladder = options.ladder;
    noise_ = noise_of(plan, layout_, options.noise);
    asked_ = asked_faults(layout_, CauseMaker(layout_, table, run, options.causes), table, amounts);
  }
  [[nodiscard]] const BatchLayout& layout() const { return layout_; }
  [[nodiscard]] const std::vector<AskedFault>& asked() const { return asked_; }
  [[nodiscard]] double power(std::size_t which) const {
    const AskedFault& asked = asked_[which];
    return asked.cause ? power_of(layout_, *asked.cause, asked.amount, noise_, options_) : 0.0;
  }
  [[nodiscard]] bool shows(const std::string& fault) const {
    const auto same =
        std::find_if(asked_.begin(), asked_.end(), [&](const AskedFault& one) { return one.words == fault; });
    if (same == asked_.end() || !same->cause) return false;
    if (layout_.lasts.size() < options_.least_lasts && !same->cause->of_one_item()) return false;
    const Expected expected(layout_, *same->cause, same->amount, noise_, options_);
    // What does not pay its price on average is not shown, whatever the noise is taken for.
    return expected.plain_power() >= 0.5 && expected.power() >= kAskedPower;
  }

 private:
  const SearchOptions& options_;
  BatchLayout layout_;
  BatchNoise noise_;
  std::vector<AskedFault> asked_;
};

class PlanTrials {
 public:
  PlanTrials(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
             const SearchOptions& options, const AskedAmounts& amounts)
      : plan_(plan), table_(table), run_(run), options_(options), amounts_(amounts) {}

  const PlanTrial& of(int pairs) {
    auto& trial = trials_[pairs];
    if (!trial) trial.emplace(plan_, pairs, table_, run_, options_, amounts_);
    return *trial;
  }
  // The fewest lasts that are good for the fault: more of them are never worse.
  std::optional<std::size_t> lasts_for(const std::string& fault, std::size_t most) {
    const std::size_t cells = 2 * plan_.sizes.size() * plan_.widths.size();
    const int most_pairs = static_cast<int>(most / cells);
    int enough = 1;
    while (enough <= most_pairs && !of(enough).shows(fault)) {
      if (enough == most_pairs) return std::nullopt;
      enough = std::min(2 * enough, most_pairs);
    }
    if (enough > most_pairs) return std::nullopt;
    for (int low = enough / 2; low + 1 < enough;) {
      const int middle = (low + enough) / 2;
      (of(middle).shows(fault) ? enough : low) = middle;
    }
    return cells * static_cast<std::size_t>(enough);
  }

 private:
  const ReadingPlanOptions& plan_;
  const MeasureTable& table_;
  const SizeRun& run_;
  const SearchOptions& options_;
  AskedAmounts amounts_;
  std::map<int, std::optional<PlanTrial>> trials_;
};

PlanAnswer answer_of(const AskedFault& asked, const BatchLayout& layout, const MeasureTable& table) {
  return {asked.kind,
          asked.words,
          0.0,
          {},
          asked.alike ? short_name(*asked.alike, layout, table) : std::string(),
          asked.besides};
}

// What a batch read, as a plan: its sizes, widths and measures, both hands.
ReadingPlanOptions plan_like(const BatchLayout& layout, const BatchNoise& noise) {
  ReadingPlanOptions plan;
  plan.sizes = layout.sizes;
  plan.widths = layout.widths;
  plan.measures = layout.measures;
  plan.tapes = static_cast<int>(layout.tapes.size());
  plan.spread = noise.reading;
  plan.noise = noise;
  plan.step = 0.0;
  for (const PlacedReading& one : layout.readings)
    plan.step = std::max(plan.step, one.interval.high - one.interval.low);
  return plan;
}

}  // namespace

PlanAdvice advise(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
                  const SearchOptions& options) {
  PlanAdvice advice;
  advice.lasts = 2 * plan.sizes.size() * plan.widths.size() * static_cast<std::size_t>(plan.pairs);
  PlanTrials trials(plan, table, run, options, {});
  const PlanTrial& now = trials.of(plan.pairs);
  for (std::size_t i = 0; i < now.asked().size(); ++i) {
    const AskedFault& asked = now.asked()[i];
    PlanAnswer answer = answer_of(asked, now.layout(), table);
    answer.power = now.power(i);
    if (asked.cause) answer.lasts = trials.lasts_for(asked.words, advice.most_lasts);
    advice.answers.push_back(std::move(answer));
  }
  return advice;
}

std::vector<PlanAnswer> not_shown(const BatchLayout& layout, const BatchNoise& noise,
                                  const MeasureTable& table, const SizeRun& run,
                                  const SearchOptions& options) {
  constexpr double kTimes = 3.0;  // the scatter of one reading about the table: as made, read and rounded
  constexpr std::size_t kMostLasts = 240;
  if (layout.readings.empty()) return {};
  const ReadingPlanOptions plan = plan_like(layout, noise);
  const double scatter = std::hypot(noise.reading, noise.own, plan.step / std::sqrt(12.0));
  const double amount = std::max(0.1, std::round(10.0 * kTimes * scatter) / 10.0);
  const AskedAmounts amounts{amount, amount, amount};
  PlanTrials trials(plan, table, run, options, amounts);
  std::vector<PlanAnswer> answers;
  for (const AskedFault& asked :
       asked_faults(layout, CauseMaker(layout, table, run, options.causes), table, amounts)) {
    PlanAnswer answer = answer_of(asked, layout, table);
    if (asked.cause) answer.power = power_of(layout, *asked.cause, asked.amount, noise, options);
    if (answer.power >= kAskedPower && asked.besides.empty()) continue;
    // More lasts do not tell more of the stamp of one.
    if (asked.cause && asked.cause->stamp()) {
      answer.besides = "more measures of each last";
    } else if (asked.cause && answer.power < kAskedPower) {
      answer.lasts = trials.lasts_for(asked.words, kMostLasts);
    }
    answers.push_back(std::move(answer));
  }
  return answers;
}

}  // namespace lastwright
