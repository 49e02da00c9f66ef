#include "grading/readings/batch_fit.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "grading/readings/statistics.hpp"

namespace lastwright {
namespace {

constexpr double kOutlier = 4.0;     // spreads
constexpr double kBisquare = 4.685;  // 95 % efficiency for normal errors (common choice in robust statistics)
constexpr double kLeastSpread = 0.05;  // millimetres: no tape is better
constexpr int kRounds = 30;

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;

Vector weighted_fit(const Matrix& design, const Vector& values, const Vector& weights) {
  const Matrix weighted = weights.asDiagonal() * design;
  return (design.transpose() * weighted).ldlt().solve(weighted.transpose() * values);
}

// Spread of the residuals, robustly, corrected for the fitted parameters.
double spread_of(const Vector& residuals, Eigen::Index parameters, double least) {
  const std::vector<double> all(residuals.data(), residuals.data() + residuals.size());
  std::vector<double> sizes;
  sizes.reserve(all.size());
  for (const double one : all) sizes.push_back(std::abs(one));
  const double n = static_cast<double>(all.size());
  const double correction = std::sqrt(n / std::max(1.0, n - static_cast<double>(parameters)));
  return std::max(least, 1.4826 * median(sizes) * correction);
}

bool varies(const Vector& column) {
  return column.maxCoeff() - column.minCoeff() > 1e-9;
}

Estimate estimate(double value, double error, double freedom, double confidence) {
  Estimate made;
  made.known = true;
  made.value = value;
  const double half = -student_t_quantile(0.5 * (1.0 - confidence), freedom) * error;
  made.low = value - half;
  made.high = value + half;
  made.p = two_sided_p(value / error, freedom);
  return made;
}

}  // namespace

double BatchFit::freedom() const {
  const double parameters = 1.0 + (by_size.known ? 1.0 : 0.0) + (by_width.known ? 1.0 : 0.0);
  return std::max(1.0, static_cast<double>(used) - parameters);
}

double BatchFit::expected_error(double size_steps, double width_steps) const {
  const std::array<double, 3> at{1.0, size_steps - middle_size, width_steps - middle_width};
  double variance = 0.0;
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = 0; j < 3; ++j) variance += at[i] * at[j] * covariance[i][j];
  }
  return std::sqrt(std::max(0.0, variance));
}

Estimate BatchFit::at(double size_steps, double width_steps, double confidence) const {
  const double error = expected_error(size_steps, width_steps);
  if (!offset.known || error <= 0.0) return {};
  return estimate(expected(size_steps, width_steps), error, freedom(), confidence);
}

Estimate beyond_others(std::span<const Deviation> group, std::span<const Deviation> others, double confidence,
                       double tape_spread, double step) {
  const BatchFit fit = fit_batch(others, confidence, tape_spread, step);
  if (!fit.offset.known || group.empty()) return {};
  std::vector<double> left;
  for (const Deviation& one : group)
    left.push_back(one.value - fit.expected(one.size_steps, one.width_steps));
  const double middle = median(left);
  const double most = kOutlier * std::max(fit.spread, tape_spread);
  double n = 0.0;
  double beyond = 0.0;
  double size = 0.0;
  double width = 0.0;
  for (std::size_t i = 0; i < group.size(); ++i) {
    if (std::abs(left[i] - middle) > most) continue;
    n += 1.0;
    beyond += left[i];
    size += group[i].size_steps;
    width += group[i].width_steps;
  }
  if (n == 0.0) return {};  // two lasts far apart: neither speaks for the group
  beyond /= n;
  size /= n;
  width /= n;
  const double error = std::hypot(fit.spread / std::sqrt(n), fit.expected_error(size, width));
  return estimate(beyond, error, fit.freedom(), confidence);
}

BatchFit fit_batch(std::span<const Deviation> deviations, double confidence, double tape_spread,
                   double step) {
  BatchFit fit;
  const double least_spread = std::max(kLeastSpread, rounding_spread(step));
  const auto count = static_cast<Eigen::Index>(deviations.size());
  if (count < 2) {
    if (count == 1) fit.offset.value = deviations.front().value;
    fit.spread = least_spread;
    fit.used = deviations.size();
    return fit;
  }
  Vector values(count);
  Matrix all(count, 3);
  for (Eigen::Index i = 0; i < count; ++i) {
    const Deviation& one = deviations[static_cast<std::size_t>(i)];
    fit.middle_size += one.size_steps / static_cast<double>(count);
    fit.middle_width += one.width_steps / static_cast<double>(count);
    all.row(i) << 1.0, one.size_steps, one.width_steps;
    values(i) = one.value;
  }
  all.col(1).array() -= fit.middle_size;
  all.col(2).array() -= fit.middle_width;
  std::vector<Eigen::Index> columns{0};
  if (count >= 4 && varies(all.col(1))) columns.push_back(1);
  if (count >= 4 && varies(all.col(2))) columns.push_back(2);
  Matrix design = all(Eigen::all, columns);
  // Sizes and widths that go up together cannot be told apart: leave the width out.
  if (columns.size() == 3 && Eigen::ColPivHouseholderQR<Matrix>(design).setThreshold(1e-6).rank() < 3) {
    columns.pop_back();
    design = all(Eigen::all, columns).eval();
  }
  const auto parameters = static_cast<Eigen::Index>(columns.size());

  // The first fit leans on absolute residuals, which wild values hardly move; then bisquare.
  Vector weights = Vector::Ones(count);
  Vector solution = weighted_fit(design, values, weights);
  double spread = tape_spread;
  for (int round = 0; round < kRounds; ++round) {
    const Vector residuals = values - design * solution;
    spread = spread_of(residuals, parameters, tape_spread);
    for (Eigen::Index i = 0; i < count; ++i) {
      const double size = std::abs(residuals(i)) / spread;
      if (round < kRounds / 2) {
        weights(i) = 1.0 / std::max(size, 1.0);
      } else {
        const double u = size / kBisquare;
        weights(i) = u < 1.0 ? (1.0 - u * u) * (1.0 - u * u) : 0.0;
      }
    }
    solution = weighted_fit(design, values, weights);
  }

  std::vector<Eigen::Index> kept;
  const Vector residuals = values - design * solution;
  for (Eigen::Index i = 0; i < count; ++i) {
    if (std::abs(residuals(i)) <= kOutlier * spread) kept.push_back(i);
  }
  fit.used = kept.size();
  fit.outliers = deviations.size() - kept.size();
  const Matrix inner = design(kept, Eigen::all);
  const double freedom = static_cast<double>(kept.size()) - static_cast<double>(parameters);
  const bool determined =
      freedom >= 1.0 && Eigen::ColPivHouseholderQR<Matrix>(inner).setThreshold(1e-6).rank() == parameters;
  if (!determined) {
    fit.offset.value = median(std::span<const double>(values.data(), static_cast<std::size_t>(count)));
    fit.spread = std::max(spread, least_spread);
    return fit;
  }
  const Vector inner_values = values(kept);
  const Matrix normal = (inner.transpose() * inner).inverse();
  solution = normal * inner.transpose() * inner_values;
  fit.spread = std::max(least_spread, std::sqrt((inner_values - inner * solution).squaredNorm() / freedom));
  for (Eigen::Index k = 0; k < parameters; ++k) {
    for (Eigen::Index l = 0; l < parameters; ++l) {
      const auto row = static_cast<std::size_t>(columns[static_cast<std::size_t>(k)]);
      const auto column = static_cast<std::size_t>(columns[static_cast<std::size_t>(l)]);
      fit.covariance[row][column] = normal(k, l) * fit.spread * fit.spread;
    }
    const Estimate made = estimate(solution(k), fit.spread * std::sqrt(normal(k, k)), freedom, confidence);
    const Eigen::Index column = columns[static_cast<std::size_t>(k)];
    (column == 0 ? fit.offset : column == 1 ? fit.by_size : fit.by_width) = made;
  }
  return fit;
}

}  // namespace lastwright
