// Columns as a matrix, in place. For sources: it brings the linear algebra library.
#pragma once

#include <Eigen/Core>

#include "geometry/map/columns.hpp"

namespace lastwright {

// A view, good as long as the columns are.
inline Eigen::Map<const Eigen::MatrixXd> as_matrix(const Columns& columns) {
  return {columns.values.data(), static_cast<Eigen::Index>(columns.rows),
          static_cast<Eigen::Index>(columns.count())};
}
inline Eigen::Map<Eigen::MatrixXd> as_matrix(Columns& columns) {
  return {columns.values.data(), static_cast<Eigen::Index>(columns.rows),
          static_cast<Eigen::Index>(columns.count())};
}
inline Eigen::Map<const Eigen::VectorXd> as_vector(std::span<const double> values) {
  return {values.data(), static_cast<Eigen::Index>(values.size())};
}

}  // namespace lastwright
