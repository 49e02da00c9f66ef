#include "grading/readings/evidence.hpp"

#include <cmath>

namespace lastwright {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

struct Looked {
  double log_chance = 0.0;
  VectorXd slopes;
  VectorXd weights;
  VectorXd narrow;
};

Looked look(const BatchLayout& layout, const Hypothesis& hypothesis, const BatchNoise& noise,
            const VectorXd& departure) {
  const Index n = layout.count();
  const ReadingNoise again{noise.reading, noise.wide_part, noise.slip_part};
  const ReadingNoise once{noise.reading, noise.wide_part, noise.slip_part, noise.own};
  Looked looked{0.0, VectorXd(n), VectorXd(n), VectorXd(n)};
  for (Index i = 0; i < n; ++i) {
    const double offset = hypothesis.offset.size() ? hypothesis.offset(i) : 0.0;
    const PlacedReading& reading = layout.readings[static_cast<std::size_t>(i)];
    const ReadingChance chance =
        chance_of(reading.interval, offset + departure(i), reading.again ? again : once);
    looked.log_chance += chance.log_chance;
    looked.slopes(i) = chance.slope;
    looked.weights(i) = chance.weight;
    looked.narrow(i) = chance.narrow;
  }
  return looked;
}

}  // namespace

Mode evidence_of(const BatchLayout& layout, const Hypothesis& hypothesis, const BatchNoise& noise,
                 const VectorXd& start, const EvidenceOptions& options) {
  Mode mode;
  mode.departure = start.size() ? start : VectorXd(VectorXd::Zero(layout.count()));
  Looked looked = look(layout, hypothesis, noise, mode.departure);
  const auto shape = std::make_shared<const PrecisionShape>(layout, noise, hypothesis.columns);
  VectorXd a;
  double height = 0.0;
  for (int round = 0; round < options.rounds; ++round) {
    mode.weights = looked.weights;
    mode.working = mode.departure + looked.slopes.cwiseQuotient(looked.weights);
    mode.precision = Precision(shape, mode.weights);
    VectorXd next_a = mode.precision.times(mode.working);
    VectorXd next = mode.precision.effects(next_a);
    looked = look(layout, hypothesis, noise, next);
    double next_height = looked.log_chance - 0.5 * next.dot(next_a);
    // From the second round on both points are modes of some weights, so that a and u may be halved together.
    for (int halving = 0; round > 0 && next_height < height - 1e-9 && halving < 6; ++halving) {
      next = 0.5 * (next + mode.departure);
      next_a = 0.5 * (next_a + a);
      looked = look(layout, hypothesis, noise, next);
      next_height = looked.log_chance - 0.5 * next.dot(next_a);
    }
    const bool settled = round > 0 && std::abs(next_height - height) < options.settled;
    mode.departure = std::move(next);
    a = std::move(next_a);
    height = next_height;
    if (settled) break;
  }
  mode.narrow = looked.narrow;
  mode.log_evidence = height - 0.5 * mode.precision.log_determinant();
  return mode;
}

}  // namespace lastwright
