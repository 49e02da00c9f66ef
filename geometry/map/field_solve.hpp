// The linear algebra of a DriverField: conditions in, weights of the kernels out.
#pragma once

#include <Eigen/Core>
#include <vector>

#include "geometry/map/driver_field.hpp"
#include "geometry/map/field_part.hpp"

namespace lastwright {

// Cholesky factor of a Gram matrix in its own order, leaving
// out each row that the earlier ones already settle.
struct SettledFactor {
  std::vector<Eigen::Index> kept;
  Eigen::MatrixXd lower;  // kept x kept
  double smallest = 1.0;  // pivot, as a share of its diagonal element: scaling a row changes nothing
  // The inverse over the rows kept, zero elsewhere; as large as the matrix.
  [[nodiscard]] Eigen::MatrixXd inverse(Eigen::Index size) const;
};
// A pivot at or below its row's threshold is nothing new.
SettledFactor settled_factor(const Eigen::MatrixXd& gram, const Eigen::VectorXd& nothing_new);

// Conditions as weights at the places they speak of, each place once, in the frame.
struct SiteWeights {
  std::vector<Vec2> sites;
  Eigen::MatrixXd along;   // sites x conditions
  Eigen::MatrixXd across;  // sites x conditions
};
SiteWeights site_weights(const FieldFrame& frame, const std::vector<Condition>& conditions);

// The product of two conditions in the space of a kernel.
double inner_product(const FieldKernel& kernel, const FieldFrame& frame, const Condition& a,
                     const Condition& b);

double weight_square(const Condition& condition);

// The fields of a local space, made of its own conditions'
// representers less what they would change of `still`.
struct LocalFields {
  std::vector<std::size_t> felt;  // indices of conditions; the others do not feel these fields
  Eigen::MatrixXd gram;           // felt x felt
  FieldPart part;                 // a column for each of felt: its representer
};
// `felt`: every condition that any local space serves.
LocalFields local_fields(const FieldFrame& frame, const std::vector<Condition>& conditions,
                         const LocalSpace& space, std::vector<std::size_t> felt);

// Coordinates in the frame of the field.
Vec2 turn_to_frame(const FieldFrame& frame, Vec2 v);
Vec2 to_frame(const FieldFrame& frame, Vec2 p);
Vec2 turn_from_frame(const FieldFrame& frame, Vec2 v);

}  // namespace lastwright
