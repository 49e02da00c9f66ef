#include "grading/readings/graded_steps.hpp"

#include <set>

namespace lastwright {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double kNormal = 1e6;  // degrees of freedom that stand for a normal distribution

bool of_the_grade(const Cause& cause) {
  return cause.kind == Cause::Kind::kBatch || cause.kind == Cause::Kind::kStepBySize ||
         cause.kind == Cause::Kind::kStepByWidth;
}

// Readings less what was found to be no matter of the grade; the amounts of that stay open, as columns.
struct SetRight {
  VectorXd departures;
  std::vector<VectorXd> columns;
};

SetRight set_right(const BatchReport& report) {
  const Mode& mode = report.explained.fit.mode;
  SetRight made{mode.working, {}};
  if (report.explained.hypothesis.offset.size()) made.departures += report.explained.hypothesis.offset;
  for (const Explanation& one : report.explained.causes) {
    if (of_the_grade(one.cause)) continue;
    if (!one.cause.known()) made.columns.emplace_back(VectorXd::Zero(mode.working.size()));
    for (const auto& [row, value] : one.cause.column) {
      if (one.cause.known()) {
        made.departures(row) -= value;
      } else {
        made.columns.back()(row) = value * one.cause.amount_spread;
      }
    }
  }
  return made;
}

}  // namespace

Estimate estimate(double value, double error, double confidence) {
  const double half = -student_t_quantile(0.5 * (1.0 - confidence), kNormal) * error;
  return {true, value, value - half, value + half};
}

std::vector<GradedSteps> graded_steps(const BatchReport& report, const std::vector<Reading>& readings,
                                      const MeasureTable& table, double confidence) {
  const Tolerated none{0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
  const BatchLayout bare = lay_out(readings, table, none);
  const SetRight right = set_right(report);
  const Precision precision(bare, report.explained.fit.noise, report.explained.fit.mode.weights,
                            right.columns);
  const Index n = bare.count();
  const bool sizes = bare.sizes.size() > 1;
  const bool widths = bare.widths.size() > 1;
  const Index per_measure = 1 + (sizes ? 1 : 0) + (widths ? 1 : 0);
  MatrixXd design = MatrixXd::Zero(n, per_measure * static_cast<Index>(bare.measures.size()));
  std::vector<GradedSteps> steps(bare.measures.size());
  for (std::size_t k = 0; k < bare.measures.size(); ++k) {
    std::set<std::size_t> lasts;
    for (Index i = 0; i < n; ++i) {
      const PlacedReading& one = bare.readings[static_cast<std::size_t>(i)];
      if (one.measure != bare.measures[k]) continue;
      lasts.insert(one.last);
      Index column = per_measure * static_cast<Index>(k);
      design(i, column++) = 1.0;
      if (sizes) design(i, column++) = one.size_steps;
      if (widths) design(i, column) = one.width_steps;
    }
    steps[k].measure = bare.measures[k];
    steps[k].lasts = lasts.size();
  }
  MatrixXd weighted(n, design.cols());
  for (Index c = 0; c < design.cols(); ++c) weighted.col(c) = precision.times(design.col(c));
  const MatrixXd normal = design.transpose() * weighted;
  // Sizes and widths that go up together cannot be told apart, and one size of a measure tells no step.
  Eigen::ColPivHouseholderQR<MatrixXd> factor(normal);
  factor.setThreshold(1e-9);
  if (factor.rank() < design.cols()) return steps;
  const MatrixXd covariance = factor.inverse();
  const VectorXd solution = covariance * (weighted.transpose() * right.departures);
  for (std::size_t k = 0; k < steps.size(); ++k) {
    if (steps[k].lasts < 4) continue;
    Index column = per_measure * static_cast<Index>(k) + 1;
    const auto next = [&] {
      const Estimate made = estimate(solution(column), std::sqrt(covariance(column, column)), confidence);
      ++column;
      return made;
    };
    if (sizes) steps[k].by_size = next();
    if (widths) steps[k].by_width = next();
  }
  return steps;
}

}  // namespace lastwright
