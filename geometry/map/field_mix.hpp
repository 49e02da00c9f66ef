// Derivatives of a few combinations of a field's drivers, for
// many points: costs by the combinations, not by the drivers.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "geometry/map/driver_field.hpp"
#include "geometry/map/field_part.hpp"

namespace lastwright {

class FieldMix {
 public:
  using Slopes = Eigen::Matrix<double, 4, Eigen::Dynamic>;

  // Combinations of the drivers of `field`, one a column (drivers x any number).
  FieldMix(const DriverField& field, const Eigen::MatrixXd& columns);

  [[nodiscard]] Eigen::Index size() const { return stretches_.cols(); }
  // Column k: the derivatives of combination k in x and in y, (ux, uy) each.
  [[nodiscard]] Slopes slopes(Vec2 p) const;

 private:
  FieldFrame frame_;
  std::vector<FieldPart> parts_;
  Eigen::MatrixXd stretches_;  // 2 x combinations
};

}  // namespace lastwright
