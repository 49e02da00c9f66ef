// All causes at a glance: what each would gain, by one linear look at the readings as explained so far.
#pragma once

#include <functional>
#include <optional>

#include "grading/readings/causes.hpp"
#include "grading/readings/noise_fit.hpp"

namespace lastwright {

struct Candidate {
  Cause cause;
  std::vector<Cause> same;  // other causes that no reading can tell from it
  double gain = 0.0;        // of the logarithm of the evidence, less the price; a linear estimate
  double amount = 0.0;      // that the estimate holds for; 1 where nothing is unknown
  std::optional<std::size_t> block = {};  // of a cause of one pair or last
};

struct ScreenOptions {
  bool common = true;  // causes of the batch, its sizes, widths, steps, tapes and hands
  std::size_t most = 120;
  // Of one pair and its lasts: one slip looks like many a stamp,
  // and would leave no room for the stamps that are wrong.
  std::size_t most_of_block = 12;
  // Causes that are of no use now.
  std::function<bool(const Cause&)> skip = [](const Cause&) { return false; };
};

// A linear look: readings less what is explained, and the precision to weigh them with.
struct LinearLook {
  const Precision* precision = nullptr;
  Eigen::VectorXd residuals;  // millimetres
};

// What a cause gains in one look.
Candidate gain_of(const Cause& cause, const LinearLook& look, const Eigen::VectorXd& weighted);

// The best candidates, the best first: each by the look that shows it best. One look leans on the fit so far,
// which discounts slips; the other takes every reading at its word, and sees what the fit has discounted.
std::vector<Candidate> screen(const BatchLayout& layout, const CauseMaker& maker,
                              const Hypothesis& hypothesis, const FittedNoise& fit,
                              const ScreenOptions& options);

}  // namespace lastwright
