// The noise of a batch, estimated with the hypothesis that is asked: how far readings scatter, and how much a
// pair and a last have in common, is never assumed.
#pragma once

#include "grading/readings/evidence.hpp"

namespace lastwright {

// What is known of noise before a batch speaks: normal distributions of the logarithms. They carry small
// batches; from about ten pairs on they hardly count.
struct NoisePrior {
  double reading = 0.4;  // middle, millimetres
  double reading_log = 0.5;
  double pair = 0.2;
  double last = 0.15;
  double own = 0.2;
  double shared_log = 0.6;
  // No pair or last is taken to have more than this of its own by chance, millimetres: a fault in few lasts
  // would pass for it.
  double most_shared = 0.7;
};

struct FittedNoise {
  BatchNoise noise;
  double log_prior = 0.0;
  Mode mode;
  [[nodiscard]] double log_posterior() const { return mode.log_evidence + log_prior; }
};

// Where the search begins; what the plan cannot show is 0 and stays so.
BatchNoise usual_noise(const BatchLayout& layout, const NoisePrior& prior = {});
double log_prior_of(const BatchNoise& noise, const NoisePrior& prior = {});

// Maximum of evidence times prior, coordinate by coordinate. `start`: of the mode; empty for 0.
FittedNoise fit_noise(const BatchLayout& layout, const Hypothesis& hypothesis, const BatchNoise& begin,
                      const NoisePrior& prior, const Eigen::VectorXd& start = {});

}  // namespace lastwright
