#include "grading/readings/item_match.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/invariant.hpp"
#include "grading/readings/statistics.hpp"

namespace lastwright {
namespace {

constexpr double kTail = 4.0;  // degrees of freedom of the error model

double log_likelihood(std::span<const MatchReading> readings, std::size_t cell) {
  double sum = 0.0;
  for (const MatchReading& reading : readings) {
    const double off = (reading.value - reading.expected[cell]) / reading.spread;
    sum -= 0.5 * (kTail + 1.0) * std::log1p(off * off / kTail);
  }
  return sum;
}

}  // namespace

ItemMatch match_item(std::span<const MatchReading> readings, std::size_t stamped,
                     const MatchOptions& options) {
  invariant(!readings.empty() && stamped < readings.front().expected.size(),
            "a last with readings and a stamp");
  const std::size_t cells = readings.front().expected.size();
  std::vector<double> weight(cells);
  for (std::size_t cell = 0; cell < cells; ++cell) {
    const double before = cell == stamped ? (cells == 1 ? 1.0 : options.trust_in_stamp)
                                          : (1.0 - options.trust_in_stamp) / static_cast<double>(cells - 1);
    weight[cell] = log_likelihood(readings, cell) + std::log(before);
  }
  ItemMatch match;
  match.best = static_cast<std::size_t>(std::max_element(weight.begin(), weight.end()) - weight.begin());
  const double top = weight[match.best];
  double sum = 0.0;
  for (double& one : weight) sum += one = std::exp(one - top);
  match.certainty = weight[match.best] / sum;
  match.stamp_certainty = weight[stamped] / sum;
  double squares = 0.0;
  for (const MatchReading& reading : readings) {
    const double off = (reading.value - reading.expected[match.best]) / reading.spread;
    squares += off * off;
  }
  match.fit_p = 1.0 - chi_squared_cdf(squares, static_cast<double>(readings.size()));
  if (match.best == stamped) {
    match.match = Match::kAsStamped;
  } else if (match.fit_p < options.fits_nothing) {
    match.match = Match::kFitsNone;
  } else {
    match.match = match.certainty >= options.sure ? Match::kMisStamped : Match::kDoubtful;
  }
  return match;
}

}  // namespace lastwright
