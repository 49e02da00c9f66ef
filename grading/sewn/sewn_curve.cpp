#include "grading/sewn/sewn_curve.hpp"

namespace lastwright {

namespace {

// The second derivatives of the spline at its points. Rows: the slope is the same on both sides of a point.
std::vector<Vec2> bends(std::span<const Vec2> points, const std::vector<double>& steps, bool closed) {
  const std::size_t n = points.size();
  // Solved as three diagonals; the closed one by two right sides (Sherman and Morrison).
  std::vector<double> below(n, 0.0);
  std::vector<double> middle(n, 1.0);
  std::vector<double> above(n, 0.0);
  std::vector<Vec2> right(n);
  for (std::size_t i = 0; i < n; ++i) {
    if (!closed && (i == 0 || i + 1 == n)) continue;
    const std::size_t before = (i + n - 1) % n;
    const std::size_t after = (i + 1) % n;
    below[i] = steps[before];
    above[i] = steps[i];
    middle[i] = 2.0 * (steps[before] + steps[i]);
    right[i] = 6.0 * ((points[after] - points[i]) / steps[i] - (points[i] - points[before]) / steps[before]);
  }
  const auto solve = [&](std::vector<double> diagonal, auto side) {
    for (std::size_t i = 1; i < n; ++i) {
      const double factor = below[i] / diagonal[i - 1];
      diagonal[i] -= factor * above[i - 1];
      side[i] = side[i] - factor * side[i - 1];
    }
    side[n - 1] = side[n - 1] / diagonal[n - 1];
    for (std::size_t i = n - 1; i-- > 0;) side[i] = (side[i] - above[i] * side[i + 1]) / diagonal[i];
    return side;
  };
  if (!closed) return solve(middle, right);
  const double gamma = -middle[0];
  const double corner_low = above[n - 1];  // row n - 1, column 0
  const double corner_high = below[0];     // row 0, column n - 1
  std::vector<double> diagonal = middle;
  diagonal[0] -= gamma;
  diagonal[n - 1] -= corner_low * corner_high / gamma;
  std::vector<double> u(n, 0.0);
  u[0] = gamma;
  u[n - 1] = corner_low;
  const std::vector<Vec2> x = solve(diagonal, right);
  const std::vector<double> z = solve(diagonal, u);
  const double share = corner_high / gamma;
  const Vec2 fact = (x[0] + share * x[n - 1]) / (1.0 + z[0] + share * z[n - 1]);
  std::vector<Vec2> bent(n);
  for (std::size_t i = 0; i < n; ++i) bent[i] = x[i] - z[i] * fact;
  return bent;
}

}  // namespace

std::vector<Vec2> spline_through(std::span<const Vec2> points, bool closed, int parts) {
  const std::size_t n = points.size();
  const std::size_t stretches = closed ? n : n - 1;
  if (n < 3) return {points.begin(), points.end()};
  std::vector<double> steps;
  for (std::size_t i = 0; i < n; ++i) steps.push_back(distance(points[i], points[(i + 1) % n]));
  const std::vector<Vec2> bent = bends(points, steps, closed);
  std::vector<Vec2> places;
  places.reserve(stretches * static_cast<std::size_t>(parts) + 1);
  for (std::size_t i = 0; i < stretches; ++i) {
    const std::size_t next = (i + 1) % n;
    const double sixth = steps[i] * steps[i] / 6.0;
    for (int k = 0; k < parts; ++k) {
      const double b = static_cast<double>(k) / parts;
      const double a = 1.0 - b;
      places.push_back(a * points[i] + b * points[next] +
                       sixth * ((a * a * a - a) * bent[i] + (b * b * b - b) * bent[next]));
    }
  }
  if (!closed) places.push_back(points[n - 1]);
  return places;
}

}  // namespace lastwright
