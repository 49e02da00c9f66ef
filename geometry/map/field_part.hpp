// What the smooth fields of a DriverField are made of: a kernel, the sites it stands at, and for every
// combination of drivers a weight at each site.
//
// Coordinates here are those of the field's frame: x along the axis, y to its left.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "geometry/box2.hpp"
#include "geometry/units.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// How the field at a point answers to a unit weight at a site: one number for the displacement along the
// axis, one for that across it (the two do not mix).
//
// Wide: Matern 5/2, k(r) = (1 + a + a^2/3) exp(-a), a = sqrt(5) r / length_scale (Rasmussen and Williams,
// Gaussian Processes for Machine Learning, 2006, eq. 4.17), mirrored in the axis: even along it, odd across.
//
// Local: Wendland's function of support `reach`, k(r) = (1 - s)^4 (4 s + 1), s = r /
// reach, nothing beyond (H. Wendland, Scattered Data Approximation, 2005, table 9.1:
// positive definite in the plane, twice continuously differentiable; smoother ones carry
// a trend farther past the end of what they follow). Across the axis it is multiplied by
// g(y) g(y of the site), g odd, twice differentiable and 1 from a third of the reach on.
//
// Both leave every point of the axis on the axis, exactly;
// a local field has no mirror image on the other side.
class FieldKernel {
 public:
  static FieldKernel wide(Millimetres length_scale);
  static FieldKernel local(Millimetres reach);

  struct Value {
    double along = 0.0;
    double across = 0.0;
  };
  [[nodiscard]] Value value(Vec2 p, Vec2 site) const;
  // The value and its derivatives in the point's x and y.
  struct Jet {
    Value value;
    Value in_x;
    Value in_y;
  };
  [[nodiscard]] Jet jet(Vec2 p, Vec2 site) const;
  // Infinite for the wide kernel.
  [[nodiscard]] double reach() const { return reach_; }

 private:
  struct Window {
    double value;
    double slope;
  };
  [[nodiscard]] Window window(double y) const;
  [[nodiscard]] double wide_value(double r) const;
  [[nodiscard]] double local_value(double r) const;

  double inverse_scale_ = 0.0;  // wide: sqrt(5) / length scale; local: 1 / reach
  double reach_ = 0.0;
};

class FieldPart {
 public:
  FieldPart(FieldKernel kernel, std::vector<Vec2> sites, Eigen::MatrixXd along, Eigen::MatrixXd across);

  // Precondition of the next three: reaches(p).
  // What a point feels, by column: x and y of the displacement.
  void add_displacements(Vec2 p, Eigen::RowVectorXd& x, Eigen::RowVectorXd& y) const;
  // Rows: displacement, its derivative in x, in y.
  using Rows = Eigen::Matrix<double, 3, Eigen::Dynamic>;
  void add_jets(Vec2 p, Rows& x, Rows& y) const;
  // False where the part is zero for certain.
  [[nodiscard]] bool reaches(Vec2 p) const;
  // Combinations of the columns.
  [[nodiscard]] FieldPart mixed(const Eigen::MatrixXd& columns) const;

 private:
  FieldKernel kernel_;
  std::vector<Vec2> sites_;
  Box2 box_;                // around the sites, out to the reach
  Eigen::MatrixXd along_;   // sites x columns
  Eigen::MatrixXd across_;  // sites x columns
};

// What a point of the frame feels of all parts, by column.
struct FeltJets {
  FieldPart::Rows x;
  FieldPart::Rows y;
};
FeltJets felt_at(const std::vector<FieldPart>& parts, Vec2 p, Eigen::Index columns);

}  // namespace lastwright
