// A small linear program, solved exactly but for rounding: max c x, A x <= b, x >= 0, with every b >= 0.
#pragma once

#include <cstddef>
#include <vector>

namespace lastwright {

// Dense, for some dozens of rows and columns. The same program gives the same solution.
class SmallProgram {
 public:
  explicit SmallProgram(std::size_t variables) : variables_(variables), objective_(variables + 1, 0.0) {}

  void maximise(std::size_t variable, double by) { objective_[variable] = -by; }
  // A row of `variables` coefficients, all 0, to be filled in by the caller; limit >= 0.
  double* add_row(double limit);

  // The best x. An unbounded one is a fault of the caller: bound each variable. Stops, still within all rows,
  // after as many exchanges as are ever needed in practice.
  std::vector<double> solve();

 private:
  std::size_t variables_;
  std::vector<double> objective_;  // last: the value
  std::vector<double> rows_;       // each with its limit last
};

}  // namespace lastwright
