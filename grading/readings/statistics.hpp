// The few distributions that readings need. Relative accuracy 1e-9 or better for 1 to 1e6 degrees of freedom
// (tests/outside compares with a general library).
#pragma once

#include <span>

namespace lastwright {

// P(T <= t) of Student's t with `freedom` degrees of freedom. Precondition: freedom > 0.
double student_t_cdf(double t, double freedom);
// The t with P(T <= t) = p. Precondition: 0 < p < 1.
double student_t_quantile(double p, double freedom);
// P(X <= x) of chi-squared, and its inverse.
double chi_squared_cdf(double x, double freedom);
double chi_squared_quantile(double p, double freedom);

// Two-sided: how often chance alone leaves 0 by at least |t|.
double two_sided_p(double t, double freedom);

// Mean and spread of a sample, each with its confidence interval.
struct Summary {
  std::size_t count = 0;
  double mean = 0.0;
  double mean_low = 0.0;  // interval of the mean; infinite for fewer than two values
  double mean_high = 0.0;
  double spread = 0.0;  // standard deviation, n - 1; 0 for fewer than two values
  double spread_low = 0.0;
  double spread_high = 0.0;
};
// `confidence` such as 0.95. Assumes independent, normally distributed values. `step` is what they are
// rounded to: an uncertainty of step / sqrt(12) that values which coincide do not show. No spread counts as
// less, and as far as the spread does not scatter the rounding (its first harmonic, exp(-2 pi^2 (spread /
// step)^2)), half a step at the confidence asked stays on the mean, however many values there are.
Summary summarise(std::span<const double> values, double confidence, double step = 0.0);

// Standard uncertainty of a value rounded to `step`: uniform.
double rounding_spread(double step);

// Middle value; 0 for none.
double median(std::span<const double> values);
// 1.4826 times the median distance from the median: the standard deviation, unmoved by a few wild values.
double robust_spread(std::span<const double> values);

}  // namespace lastwright
