#include "grading/readings/plan_power.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lastwright {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;
using Kind = Cause::Kind;
using Change = Cause::Change;

double normal_chance(double x) {
  return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

// What readings of a plan would show: noise of each block, without what sound work may do, plus the fault.
class Expected {
 public:
  Expected(const BatchLayout& layout, const Cause& cause, double amount, const ReadingPlanOptions& plan,
           const SearchOptions& options)
      : layout_(layout), cause_(cause), amount_(amount), options_(options), step_(plan.step) {
    true_noise_ = usual_noise(layout, options.noise);
    true_noise_.reading = plan.spread;
    const double variance = plan.spread * plan.spread + plan.step * plan.step / 12.0;
    for (const Block& block : layout.blocks) {
      MatrixXd own = own_covariance(layout, block, true_noise_);
      own.diagonal().array() += variance;
      shown_.push_back(std::move(own));
    }
    column_ = VectorXd::Zero(layout.count());
    for (const auto& [row, value] : cause.column) column_(row) = value;
  }

  [[nodiscard]] double power() const {
    const double threshold = std::log(options_.sure / (1.0 - options_.sure));
    const BatchNoise sound = best_noise(false);
    const Precision precision = precision_of(sound, {});
    if (cause_.known()) {
      const double strength = precision.square(cause_.column);
      return normal_chance((0.5 * strength + cause_.log_prior - threshold) / std::sqrt(strength));
    }
    const double gain = height(best_noise(true), true) - height(sound, false) + cause_.log_prior;
    const VectorXd weighted = precision.times(column_);
    double variance = 0.0;
    for (std::size_t b = 0; b < layout_.blocks.size(); ++b) {
      const Block& block = layout_.blocks[b];
      const VectorXd own = weighted.segment(block.first, block.count);
      variance += own.dot(shown_[b] * own);
    }
    return normal_chance((gain - threshold) / (std::abs(amount_) * std::sqrt(variance)));
  }

 private:
  [[nodiscard]] double weight_of(const BatchNoise& noise) const {
    return 1.0 / (noise.reading * noise.reading + step_ * step_ / 12.0);
  }
  [[nodiscard]] Precision precision_of(const BatchNoise& noise, const std::vector<VectorXd>& extra) const {
    return {layout_, noise, VectorXd::Constant(layout_.count(), weight_of(noise)), extra};
  }

  [[nodiscard]] double height(const BatchNoise& noise, bool with_cause) const {
    std::vector<VectorXd> extra;
    if (with_cause) extra.emplace_back(column_ * cause_.amount_spread);
    const Precision precision = precision_of(noise, extra);
    double trace = amount_ * amount_ * precision.square(cause_.column);
    for (std::size_t b = 0; b < layout_.blocks.size(); ++b)
      trace += precision.of_block(b).cwiseProduct(shown_[b]).sum();
    const double log_weights = static_cast<double>(layout_.count()) * std::log(weight_of(noise));
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
  double step_;
  BatchNoise true_noise_;
  std::vector<MatrixXd> shown_;  // by block
  VectorXd column_;
};

// A fault to ask about, and how to find it among the causes of any plan of these sizes and widths.
struct Question {
  std::string fault;
  Kind kind;
  Change change;
  double amount;
};

std::vector<Question> questions() {
  return {{"a step by size of all girths off by 1/16 in (3/16 for 1/4 in)", Kind::kStepBySize,
           Change::kGirths, 25.4 / 16.0},
          {"a step by width of all girths off by 1/16 in", Kind::kStepByWidth, Change::kGirths, 25.4 / 16.0},
          {"one measure of the whole batch off by 1.5 mm", Kind::kBatch, Change::kMeasure, 1.5},
          {"one measure of one size off by 1.5 mm", Kind::kSize, Change::kMeasure, 1.5},
          {"one measure of one width off by 1.5 mm", Kind::kWidth, Change::kMeasure, 1.5},
          {"one of the gauges reads 1 mm more", Kind::kTape, Change::kAll, 1.0},
          {"all girths of one hand off by 1.5 mm", Kind::kHand, Change::kGirths, 1.5},
          {"one pair half a size off", Kind::kStampOfPair, Change::kOtherCell, 1.0},
          {"one last half a size off", Kind::kStampOfLast, Change::kOtherCell, 1.0}};
}

// The cause of a question: of several places the middle one, of several cells the nearest size.
std::optional<Cause> cause_of(const Question& question, const BatchLayout& layout, const CauseMaker& maker) {
  std::vector<Cause> found;
  if (question.kind >= Kind::kStampOfPair) {
    const std::size_t block = layout.blocks.size() / 2;
    const PlacedReading& first = layout.readings[static_cast<std::size_t>(layout.blocks[block].first)];
    for (Cause& cause : maker.of_block(block)) {
      const bool width = cause.stamp() && cause.cell.width.position == layout.widths[first.width].position;
      if (cause.kind == question.kind && width) found.push_back(std::move(cause));
    }
    const auto nearest = std::max_element(
        found.begin(), found.end(), [](const Cause& a, const Cause& b) { return a.log_prior < b.log_prior; });
    return nearest == found.end() ? std::nullopt : std::optional(*nearest);
  }
  for (const std::vector<Cause>& group : maker.common()) {
    for (Cause cause : group) {
      if (cause.kind != question.kind || cause.change != question.change) continue;
      cause.log_prior = group.front().log_prior;
      found.push_back(std::move(cause));
    }
  }
  return found.empty() ? std::nullopt : std::optional(found[found.size() / 2]);
}

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

double power_of(const BatchLayout& layout, const Cause& cause, double amount, const ReadingPlanOptions& plan,
                const SearchOptions& options) {
  return Expected(layout, cause, amount, plan, options).power();
}

PlanAdvice advise(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
                  const SearchOptions& options) {
  constexpr double kAsked = 0.95;  // the power a plan is asked for
  const std::size_t cells = 2 * plan.sizes.size() * plan.widths.size();
  PlanAdvice advice;
  advice.lasts = cells * static_cast<std::size_t>(plan.pairs);
  const auto power = [&](const Question& question, int pairs) -> std::optional<double> {
    ReadingPlanOptions asked = plan;
    asked.pairs = pairs;
    const BatchLayout layout = lay_out(planned_readings(asked, table), table);
    const CauseMaker maker(layout, table, run, options.causes);
    const std::optional<Cause> cause = cause_of(question, layout, maker);
    if (!cause) return std::nullopt;
    return power_of(layout, *cause, question.amount, asked, options);
  };
  for (const Question& question : questions()) {
    const std::optional<double> now = power(question, plan.pairs);
    if (!now) continue;  // nothing of the kind in this plan: one width has no step by width
    PlanAnswer answer{question.fault, *now, std::nullopt};
    for (int pairs = 1; cells * static_cast<std::size_t>(pairs) <= advice.most_lasts; ++pairs) {
      const double then = pairs == plan.pairs ? *now : *power(question, pairs);
      if (then < kAsked) continue;
      answer.lasts = cells * static_cast<std::size_t>(pairs);
      break;
    }
    advice.answers.push_back(std::move(answer));
  }
  return advice;
}

}  // namespace lastwright
