// Adaptive Gauss-Legendre integration of a smooth function.
#pragma once

#include <cmath>

namespace lastwright {

// Seven points: exact for polynomials up to degree 13 (nodes and weights: Abramowitz & Stegun, table 25.4).
template <class F>
double gauss7(const F& f, double a, double b) {
  static constexpr double kNode[3] = {
      0.405845151377397, 0.741531185599394,
      0.949107912342759};  // 7 points of Gauss and Legendre on [-1, 1], beside the one at 0
  static constexpr double kWeight[3] = {0.381830050505119, 0.279705391489277, 0.129484966168870};
  const double half = 0.5 * (b - a);
  const double mid = 0.5 * (a + b);
  double sum = 0.417959183673469 * f(mid);
  for (int i = 0; i < 3; ++i) sum += kWeight[i] * (f(mid - half * kNode[i]) + f(mid + half * kNode[i]));
  return half * sum;
}

namespace quadrature_detail {
template <class F>
double refine(const F& f, double a, double b, double whole, double error, int depth) {
  const double m = 0.5 * (a + b);
  const double left = gauss7(f, a, m);
  const double right = gauss7(f, m, b);
  if (depth == 0 || std::abs(left + right - whole) <= error) return left + right;
  return refine(f, a, m, left, 0.5 * error, depth - 1) + refine(f, m, b, right, 0.5 * error, depth - 1);
}
}  // namespace quadrature_detail

// Integral of f over [a, b] within about `error`. f must be smooth inside; split at its breaks. At a cusp the
// halving stops after 30 steps, when what is left is a billionth of the interval.
template <class F>
double integral(const F& f, double a, double b, double error) {
  return quadrature_detail::refine(f, a, b, gauss7(f, a, b), error, 30);
}

}  // namespace lastwright
