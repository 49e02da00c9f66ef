#include "grading/readings/statistics.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "geometry/invariant.hpp"

namespace lastwright {
namespace {

constexpr double kTiny = 1e-300;   // in place of 0 in a continued fraction
constexpr double kEnough = 1e-15;  // of the sum: rounding
constexpr int kMostTerms = 20000;

// Continued fraction of the incomplete beta function, evaluated from the front (modified Lentz).
double beta_fraction(double a, double b, double x) {
  double c = 1.0;
  double d = 1.0 - (a + b) * x / (a + 1.0);
  d = 1.0 / (std::abs(d) < kTiny ? kTiny : d);
  double value = d;
  for (int m = 1; m < kMostTerms; ++m) {
    const double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
    const double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
    double step = 1.0;
    for (const double term : {even, odd}) {
      d = 1.0 + term * d;
      c = 1.0 + term / c;
      d = 1.0 / (std::abs(d) < kTiny ? kTiny : d);
      if (std::abs(c) < kTiny) c = kTiny;
      step = c * d;
      value *= step;
    }
    if (std::abs(step - 1.0) < kEnough) break;
  }
  return value;
}

// Regularised incomplete beta function I_x(a, b).
double incomplete_beta(double a, double b, double x) {
  if (x <= 0.0) return 0.0;
  if (x >= 1.0) return 1.0;
  const double front =
      std::exp(std::lgamma(a + b) - std::lgamma(a) - std::lgamma(b) + a * std::log(x) + b * std::log1p(-x));
  if (x < (a + 1.0) / (a + b + 2.0)) return front * beta_fraction(a, b, x) / a;
  return 1.0 - front * beta_fraction(b, a, 1.0 - x) / b;
}

// Regularised lower incomplete gamma function P(a, x).
double incomplete_gamma(double a, double x) {
  if (x <= 0.0) return 0.0;
  const double front = std::exp(a * std::log(x) - x - std::lgamma(a));
  if (x < a + 1.0) {
    double term = 1.0 / a;
    double sum = term;
    for (int n = 1; n < kMostTerms && std::abs(term) > kEnough * std::abs(sum); ++n) {
      term *= x / (a + n);
      sum += term;
    }
    return sum * front;
  }
  double b = x + 1.0 - a;
  double c = 1.0 / kTiny;
  double d = 1.0 / b;
  double value = d;
  for (int n = 1; n < kMostTerms; ++n) {
    const double an = -n * (n - a);
    b += 2.0;
    d = an * d + b;
    c = b + an / c;
    d = 1.0 / (std::abs(d) < kTiny ? kTiny : d);
    if (std::abs(c) < kTiny) c = kTiny;
    value *= c * d;
    if (std::abs(c * d - 1.0) < kEnough) break;
  }
  return 1.0 - front * value;
}

// The point where a rising function reaches p, by halving: slow, certain, and exact to the last bits.
template <class Function>
double inverse(const Function& function, double p, double low, double high) {
  for (int i = 0; i < 400; ++i) {
    const double middle = 0.5 * (low + high);
    if (middle == low || middle == high) break;
    (function(middle) < p ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

double student_t_cdf(double t, double freedom) {
  invariant(freedom > 0, "degrees of freedom above 0");
  const double tail = 0.5 * incomplete_beta(0.5 * freedom, 0.5, freedom / (freedom + t * t));
  return t > 0 ? 1.0 - tail : tail;
}

double two_sided_p(double t, double freedom) {
  if (!std::isfinite(t)) return 0.0;
  return incomplete_beta(0.5 * freedom, 0.5, freedom / (freedom + t * t));
}

double student_t_quantile(double p, double freedom) {
  invariant(p > 0.0 && p < 1.0, "a probability between 0 and 1");
  if (p == 0.5) return 0.0;
  if (p > 0.5) return -student_t_quantile(1.0 - p, freedom);
  double low = -1.0;
  while (student_t_cdf(low, freedom) > p && low > -1e300) low *= 2.0;
  return inverse([&](double t) { return student_t_cdf(t, freedom); }, p, low, 0.0);
}

double chi_squared_cdf(double x, double freedom) {
  invariant(freedom > 0, "degrees of freedom above 0");
  return incomplete_gamma(0.5 * freedom, 0.5 * x);
}

double chi_squared_quantile(double p, double freedom) {
  invariant(p > 0.0 && p < 1.0, "a probability between 0 and 1");
  double high = freedom + 1.0;
  while (chi_squared_cdf(high, freedom) < p) high *= 2.0;
  return inverse([&](double x) { return chi_squared_cdf(x, freedom); }, p, 0.0, high);
}

double rounding_spread(double step) {
  return step / std::sqrt(12.0);
}

Summary summarise(std::span<const double> values, double confidence, double step) {
  Summary summary;
  summary.count = values.size();
  constexpr double kInfinity = std::numeric_limits<double>::infinity();  // nothing is known
  summary.mean_low = -kInfinity;
  summary.mean_high = kInfinity;
  summary.spread_high = kInfinity;
  if (values.empty()) return summary;
  const auto n = static_cast<double>(values.size());
  for (const double value : values) summary.mean += value / n;
  if (values.size() < 2) return summary;
  double squares = 0.0;
  for (const double value : values) squares += (value - summary.mean) * (value - summary.mean);
  const double freedom = n - 1.0;
  summary.spread = std::sqrt(squares / freedom);
  const double tail = 0.5 * (1.0 - confidence);
  const double counted = std::max(summary.spread, rounding_spread(step));
  const double ratio = step > 0.0 ? summary.spread / step : 0.0;
  const double unscattered =
      0.5 * confidence * step * std::exp(-2.0 * std::numbers::pi * std::numbers::pi * ratio * ratio);
  const double half = std::hypot(-student_t_quantile(tail, freedom) * counted / std::sqrt(n), unscattered);
  summary.mean_low = summary.mean - half;
  summary.mean_high = summary.mean + half;
  summary.spread_low = std::sqrt(squares / chi_squared_quantile(1.0 - tail, freedom));
  summary.spread_high = counted * std::sqrt(freedom / chi_squared_quantile(tail, freedom));
  return summary;
}

double median(std::span<const double> values) {
  if (values.empty()) return 0.0;
  std::vector<double> sorted(values.begin(), values.end());
  const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
  std::nth_element(sorted.begin(), middle, sorted.end());
  if (sorted.size() % 2 == 1) return *middle;
  return 0.5 * (*middle + *std::max_element(sorted.begin(), middle));
}

double robust_spread(std::span<const double> values) {
  const double centre = median(values);
  std::vector<double> off;
  off.reserve(values.size());
  for (const double value : values) off.push_back(std::abs(value - centre));
  return 1.4826 * median(off);
}

}  // namespace lastwright
