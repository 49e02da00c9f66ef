// Which causes explain a batch, and how much worse the next best explanation is.
//
// Sound is asked first. Then the cause whose evidence beats the explanation so far by most, its price paid,
// is taken in if it is more certain than `sure`; what was taken in is asked again each time: whether another
// cause would do better in its stead, and whether it is still needed.
#pragma once

#include "grading/readings/causes.hpp"
#include "grading/readings/noise_fit.hpp"

namespace lastwright {

struct SearchOptions {
  double sure = 0.982;          // of a cause against none, its price paid: odds of 55 to 1
  double rival_odds = 20.0;     // a rival less unlikely than this is named beside the best
  std::size_t most_common = 4;  // causes of the batch, its sizes, widths, steps, tapes and hands
  std::size_t most_items = 40;  // lasts and pairs
  // Fewer lasts than this say nothing about the batch.
  std::size_t least_lasts = 4;
  // Width steps from the narrowest width of the ladder to each, ascending, where they are not all one apart;
  // empty: they are.
  std::vector<Fraction> ladder = {};
  NoisePrior noise;
  CausePriors causes;
};

struct Explanation {
  Cause cause;
  std::vector<Cause> same;     // no reading of this plan can tell these from it
  std::vector<Cause> rivals;   // nearly as likely
  std::optional<Cause> next;   // the next best that is neither; empty: chance
  double log_odds = 0.0;       // against that, natural logarithm
  double amount = 0.0;         // 1 where nothing is unknown
  double amount_spread = 0.0;  // standard deviation after the readings
};

struct BatchExplanation {
  std::vector<Explanation> causes;  // in the order in which they were found
  Hypothesis hypothesis;            // all of them
  FittedNoise fit;
  // A cause that would be taken in if no more than most_common and most_items were wanted.
  std::optional<Cause> left_over;
};

BatchExplanation explain(const BatchLayout& layout, const MeasureTable& table, const SizeRun& run,
                         const SearchOptions& options = {});

// The same with the causes of `maker`, which must be of this layout.
BatchExplanation explain(const BatchLayout& layout, const CauseMaker& maker,
                         const SearchOptions& options = {});

}  // namespace lastwright
