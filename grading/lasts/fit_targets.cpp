#include "grading/lasts/fit_targets.hpp"

#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <utility>

namespace lastwright {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int kUnknowns = 3 * kFieldCoefficients;

// Second differences of each field plus a little of the identity: positive definite.
MatrixXd energy_of(double towards_prior) {
  MatrixXd e = towards_prior * MatrixXd::Identity(kUnknowns, kUnknowns);
  for (int field = 0; field < 3; ++field) {
    for (int i = 0; i + 2 < kFieldCoefficients; ++i) {
      const int k = field * kFieldCoefficients + i;
      Eigen::Vector3d d(1.0, -2.0, 1.0);
      e.block<3, 3>(k, k) += d * d.transpose();
    }
  }
  return e;
}

VectorXd fields_of(const AxisMap& map) {
  VectorXd p(kUnknowns);
  const AxisSpline* fields[] = {&map.bottom_width, &map.upper_width, &map.height};
  for (int k = 0; k < kUnknowns; ++k) {
    p[k] = fields[k / kFieldCoefficients]->coefficients[static_cast<std::size_t>(k % kFieldCoefficients)];
  }
  return p;
}

void set_fields(AxisMap& map, const VectorXd& p) {
  AxisSpline* fields[] = {&map.bottom_width, &map.upper_width, &map.height};
  for (int k = 0; k < kUnknowns; ++k) {
    fields[k / kFieldCoefficients]->coefficients[static_cast<std::size_t>(k % kFieldCoefficients)] = p[k];
  }
}

// The two targets whose gradients are most nearly one.
std::pair<std::size_t, std::size_t> closest_pair(const MatrixXd& gram) {
  std::pair<std::size_t, std::size_t> pair{0, 0};
  double most = -1.0;
  for (int i = 0; i < gram.rows(); ++i) {
    for (int k = 0; k < i; ++k) {
      const double alike = std::abs(gram(i, k)) / std::sqrt(std::max(gram(i, i) * gram(k, k), 1e-300));
      if (!(alike > most)) continue;
      most = alike;
      pair = {static_cast<std::size_t>(k), static_cast<std::size_t>(i)};
    }
  }
  return pair;
}

}  // namespace

Result<Fit> fit_targets(const Body& body, const Landmarks& landmarks, const AxisMap& start,
                        const std::vector<MeasureTarget>& targets, const FitOptions& options) {
  Fit fit;
  fit.map = start;
  const int m = static_cast<int>(targets.size());
  const MatrixXd energy = energy_of(options.towards_prior);
  const Eigen::LLT<MatrixXd> factored(energy);
  const VectorXd prior = fields_of(start);
  VectorXd p = prior;
  std::size_t worst_at = 0;
  for (fit.steps = 0;; ++fit.steps) {
    set_fields(fit.map, p);
    const Form form = make_form(body, &fit.map);
    MatrixXd jacobian(m, kUnknowns);
    VectorXd miss(m);
    for (int i = 0; i < m; ++i) {
      const MeasureTarget& target = targets[static_cast<std::size_t>(i)];
      const Result<Gradient> g = measure_gradient(target.definition, form, fit.map, landmarks);
      if (!g) return g.problem();
      miss[i] = target.value - g->value;
      for (int k = 0; k < kUnknowns; ++k) jacobian(i, k) = g->by[static_cast<std::size_t>(k)];
    }
    fit.worst = 0.0;
    for (int i = 0; i < m; ++i) {
      if (!(std::abs(miss[i]) <= fit.worst)) {
        fit.worst = std::abs(miss[i]);
        worst_at = static_cast<std::size_t>(i);
      }
    }
    const bool steered = fit.steps < options.steered_steps;
    if (!steered && fit.worst <= options.close) return fit;
    if (m == 0) return fit;
    if (fit.steps == options.steps || !std::isfinite(fit.worst)) break;
    const MatrixXd spread = factored.solve(jacobian.transpose());
    const Eigen::LDLT<MatrixXd> small(jacobian * spread);
    // Two measures that move together leave the small system singular.
    const VectorXd pivots = small.vectorD();
    if (!(pivots.minCoeff() > 1e-9 * pivots.maxCoeff())) {
      const auto [one, other] = closest_pair(jacobian * spread);
      return Problem{
          Trouble::kGrade,
          fmt::format("two targets of the last move together, {} and {}: one of them must be derived",
                      targets[one].definition.measure, targets[other].definition.measure),
          {},
          {},
          {}};
    }
    // Steered: the minimum of the energy on the linearised constraints; else the smallest correction.
    const VectorXd base = steered ? VectorXd(prior - p) : VectorXd(VectorXd::Zero(kUnknowns));
    VectorXd step = base + spread * small.solve(miss - jacobian * base);
    // A field value changed by more than a fifth at once leaves the range in which the gradient speaks.
    const double largest = step.cwiseAbs().maxCoeff();
    if (largest > 0.2) step *= 0.2 / largest;
    p += step;
  }
  return Problem{Trouble::kGrade,
                 fmt::format("the last cannot meet its targets together; worst is {}",
                             targets[worst_at].definition.measure),
                 {},
                 fit.worst,
                 options.close};
}

}  // namespace lastwright
