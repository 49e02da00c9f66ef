// A displacement field of the plane with a few drivers: two stretches and one smooth field per linear
// condition.
//
//   u(p) = s0 (x - x0) e + s1 (y - y0) n + sum_j t_j phi_j(p)
//
// (x, y) are the coordinates of p along the axis e and its left normal n, measured from the origin. phi_j is
// the smallest field (minimum norm in the space of the kernel) that fulfils condition j with value 1 and
// every other condition with value 0. Everything is linear in the drivers (s0, s1, t_1 ... t_R): a whole size
// run is one matrix product per outline.
//
// Kernel: Matern 5/2, k(r) = (1 + a + a^2/3) exp(-a), a = sqrt(5) r / length_scale (Rasmussen and Williams,
// Gaussian Processes for Machine Learning, 2006, eq. 4.17). It is mirrored in the axis (even for the
// displacement along it, odd for the one across), so that every point of the axis stays on the axis, exactly.
#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <span>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// L(u) = sum of dot(weight, u(at)).
struct ConditionTerm {
  Vec2 at;
  Vec2 weight;
};
using Condition = std::vector<ConditionTerm>;

struct FieldFrame {
  Vec2 origin;                      // on the axis; the stretches leave it where it is
  Vec2 axis{1.0, 0.0};              // unit vector
  Millimetres length_scale{100.0};  // distance over which a local condition fades
};

// Displacement and its derivatives for one driver at one point, per unit of the driver.
struct DriverValue {
  Vec2 u;   // displacement
  Vec2 ux;  // its derivative in x
  Vec2 uy;  // its derivative in y
};

class FieldMix;

class DriverField {
 public:
  DriverField(FieldFrame frame, std::vector<Condition> conditions);

  // 2 + number of conditions.
  [[nodiscard]] std::size_t drivers() const { return 2 + conditions_.size(); }
  [[nodiscard]] const FieldFrame& frame() const { return frame_; }
  [[nodiscard]] const std::vector<Condition>& conditions() const { return conditions_; }
  // Conditions that say nothing new: their value follows from earlier ones (or from the mirrored kernel) to
  // within 1e-9 of their own weight. Their field is zero; whether the value asked for agrees is for the
  // caller to check.
  [[nodiscard]] const std::vector<bool>& dependent() const { return dependent_; }
  // Ratio of the largest to the smallest pivot of the solve: how many digits it costs.
  [[nodiscard]] double condition_number() const { return condition_number_; }

  // Fills one value per driver. Precondition: out.size() == drivers().
  void evaluate(Vec2 p, std::span<DriverValue> out) const;
  // The displacements alone, at a third of the cost.
  void displacements(Vec2 p, std::span<Vec2> out) const;
  // Combinations of the drivers, one a column (drivers x any number).
  [[nodiscard]] FieldMix mixed(const Eigen::MatrixXd& columns) const;

 private:
  void gather_sites(const Eigen::MatrixXd& inverse);

  FieldFrame frame_;
  std::vector<Condition> conditions_;
  std::vector<bool> dependent_;
  // Every phi_j is a sum over the sites (all points that conditions speak of, each once, in the frame) of the
  // kernel times a weight: one weight for the displacement along the axis, one for that across it.
  std::vector<Vec2> sites_;
  Eigen::MatrixXd along_;   // sites x conditions
  Eigen::MatrixXd across_;  // sites x conditions
  double condition_number_ = 1.0;
};

// Derivatives of a few combinations of a field's drivers, for many points: costs by the combinations, not by
// the drivers.
class FieldMix {
 public:
  using Slopes = Eigen::Matrix<double, 4, Eigen::Dynamic>;

  FieldMix(FieldFrame frame, std::vector<Vec2> sites, Eigen::MatrixXd along, Eigen::MatrixXd across,
           Eigen::MatrixXd stretches);

  [[nodiscard]] Eigen::Index size() const { return stretches_.cols(); }
  // Column k: the derivatives of combination k in x and in y, (ux, uy) each.
  [[nodiscard]] Slopes slopes(Vec2 p) const;

 private:
  FieldFrame frame_;
  std::vector<Vec2> sites_;
  Eigen::MatrixXd along_;      // sites x combinations
  Eigen::MatrixXd across_;     // sites x combinations
  Eigen::MatrixXd stretches_;  // 2 x combinations
};

}  // namespace lastwright
