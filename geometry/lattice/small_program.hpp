// A small linear program, solved exactly but for rounding: max c x, A x <= b, x >= 0, with every b >= 0.
#pragma once

#include <cstddef>
#include <vector>

namespace lastwright {

// Dense, for some dozens of rows and columns. The same program gives the same solution.
class SmallProgram {
 public:
  explicit SmallProgram(std::size_t variables)
      : variables_(variables), width_(variables + 2 - variables % 2), objective_(width_, 0.0) {}

  void maximise(std::size_t variable, double by) { objective_[variable] = -by; }
  // A row of `variables` coefficients, all 0, to be filled in by the caller; limit >= 0.
  double* add_row(double limit);

  // The best x. An unbounded one is a fault of the caller: bound each variable. Stops, still within all rows,
  // after as many exchanges as are ever needed in practice.
  std::vector<double> solve();

 private:
  std::size_t variables_;
  std::size_t width_;              // of a row: its coefficients, its limit and, to be even, perhaps a nothing
  std::vector<double> objective_;  // like a row, the value for the limit
  std::vector<double> rows_;
};

}  // namespace lastwright
