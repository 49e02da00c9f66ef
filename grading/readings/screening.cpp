#include "grading/readings/screening.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace lastwright {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// Every reading at its word: normal, its rounding as variance.
VectorXd plain_weights(const BatchLayout& layout, const BatchNoise& noise) {
  VectorXd weights(layout.count());
  for (Index i = 0; i < layout.count(); ++i) {
    const PlacedReading& reading = layout.readings[static_cast<std::size_t>(i)];
    const double step = reading.interval.high - reading.interval.low;
    const double scatter = scatter_of(reading, noise);
    weights(i) = 1.0 / (scatter * scatter + step * step / 12.0);
  }
  return weights;
}

VectorXd plain_residuals(const BatchLayout& layout, const Hypothesis& hypothesis) {
  VectorXd residuals(layout.count());
  for (Index i = 0; i < layout.count(); ++i) {
    const ReadingInterval& interval = layout.readings[static_cast<std::size_t>(i)].interval;
    residuals(i) = 0.5 * (interval.low + interval.high);
  }
  if (hypothesis.offset.size()) residuals -= hypothesis.offset;
  return residuals;
}

double product_with(const SparseColumn& column, const VectorXd& values) {
  double sum = 0.0;
  for (const auto& [row, value] : column) sum += value * values(row);
  return sum;
}

void weigh(Candidate& candidate, double with_values, double square) {
  const Cause& cause = candidate.cause;
  if (cause.known()) {
    candidate.amount = 1.0;
    candidate.gain = with_values - 0.5 * square + cause.log_prior;
    return;
  }
  const double before = 1.0 / (cause.amount_spread * cause.amount_spread);
  candidate.amount = with_values / (square + before);
  candidate.gain = 0.5 * with_values * candidate.amount - 0.5 * std::log1p(square / before) + cause.log_prior;
}

bool better(const Candidate& a, const Candidate& b) {
  return a.gain > b.gain;
}

void keep_best(std::vector<Candidate>& all, const ScreenOptions& options) {
  std::stable_sort(all.begin(), all.end(), better);
  std::map<std::size_t, std::size_t> of_block;
  std::erase_if(
      all, [&](const Candidate& one) { return one.block && ++of_block[*one.block] > options.most_of_block; });
  if (all.size() > options.most) all.resize(options.most);
}

struct Look {
  LinearLook linear;
  VectorXd weighted;
};

}  // namespace

Candidate gain_of(const Cause& cause, const LinearLook& look, const VectorXd& weighted) {
  Candidate candidate{cause, {}, 0.0, 0.0, {}};
  weigh(candidate, product_with(cause.column, weighted), look.precision->square(cause.column));
  return candidate;
}

std::vector<Candidate> screen(const BatchLayout& layout, const CauseMaker& maker,
                              const Hypothesis& hypothesis, const FittedNoise& fit,
                              const ScreenOptions& options) {
  // A fault in many readings may have been taken for noise: a third look with the usual noise.
  const BatchNoise usual = usual_noise(layout);
  const bool swollen = fit.noise.reading > 1.3 * usual.reading || fit.noise.pair > 1.5 * usual.pair ||
                       fit.noise.last > 2.0 * usual.last || fit.noise.last_pair > 2.0 * usual.last_pair;
  const VectorXd plain = plain_residuals(layout, hypothesis);
  const Precision taken(layout, fit.noise, plain_weights(layout, fit.noise), hypothesis.columns);
  const Precision with_usual =
      swollen ? Precision(layout, usual, plain_weights(layout, usual), hypothesis.columns) : Precision();
  std::vector<Look> looks{{{&fit.mode.precision, fit.mode.working}, {}}, {{&taken, plain}, {}}};
  if (swollen) looks.push_back({{&with_usual, plain}, {}});
  for (Look& look : looks) look.weighted = look.linear.precision->times(look.linear.residuals);

  std::vector<Candidate> all;
  const auto offer = [&](const std::vector<Cause>& group, const Look& look, std::vector<Candidate>& to) {
    if (options.skip(group.front())) return;
    Candidate candidate = gain_of(group.front(), look.linear, look.weighted);
    to.push_back(std::move(candidate));
  };
  if (options.common) {
    for (const std::vector<Cause>& group : maker.common()) {
      std::vector<Candidate> by_look;
      for (const Look& look : looks) offer(group, look, by_look);
      if (by_look.empty()) continue;
      Candidate best = *std::min_element(by_look.begin(), by_look.end(), better);
      best.same.assign(group.begin() + 1, group.end());
      all.push_back(std::move(best));
    }
  }
  for (std::size_t b = 0; b < layout.blocks.size(); ++b) {
    const Block& block = layout.blocks[b];
    std::vector<Cause> causes = maker.of_block(b);
    std::vector<Candidate> best(causes.size());
    for (std::size_t l = 0; l < looks.size(); ++l) {
      const MatrixXd precision = looks[l].linear.precision->of_block(b);
      for (std::size_t c = 0; c < causes.size(); ++c) {
        VectorXd column = VectorXd::Zero(block.count);
        for (const auto& [row, value] : causes[c].column) column(row - block.first) = value;
        Candidate candidate;
        candidate.cause.change = causes[c].change;
        candidate.cause.amount_spread = causes[c].amount_spread;
        candidate.cause.log_prior = causes[c].log_prior;
        weigh(candidate, product_with(causes[c].column, looks[l].weighted), column.dot(precision * column));
        if (l == 0 || candidate.gain > best[c].gain) best[c] = std::move(candidate);
      }
    }
    for (std::size_t c = 0; c < causes.size(); ++c) {
      if (options.skip(causes[c])) continue;
      if (all.size() >= options.most && best[c].gain < -6.0) continue;
      best[c].cause = std::move(causes[c]);
      best[c].block = b;
      all.push_back(std::move(best[c]));
    }
    if (all.size() > 20 * options.most) keep_best(all, options);
  }
  keep_best(all, options);
  return all;
}

}  // namespace lastwright
