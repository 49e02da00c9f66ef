// A table of numbers, column after column: what the fields and the graded
// nodes of a run are kept in. Says nothing of the linear algebra library;
// columns_matrix.hpp makes a matrix of it, for the sources that reckon.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lastwright {

struct Columns {
  std::size_t rows = 0;
  std::vector<double> values;  // rows x count()

  [[nodiscard]] std::size_t count() const { return rows == 0 ? 0 : values.size() / rows; }
  // Precondition of both: k < count().
  [[nodiscard]] std::span<const double> column(std::size_t k) const {
    return {values.data() + k * rows, rows};
  }
  [[nodiscard]] std::span<double> column(std::size_t k) { return {values.data() + k * rows, rows}; }
};

}  // namespace lastwright
