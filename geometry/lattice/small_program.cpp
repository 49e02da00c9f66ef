#include "geometry/lattice/small_program.hpp"

#include <cstdint>
#include <utility>

#include "geometry/invariant.hpp"

namespace lastwright {

double* SmallProgram::add_row(double limit) {
  invariant(limit >= 0.0, "a limit of a small program is below 0");
  rows_.resize(rows_.size() + width_, 0.0);
  double* row = rows_.data() + rows_.size() - width_;
  row[variables_] = limit;
  return row;
}

// The dictionary form: variables at 0 stand in the columns, the others in the rows.
std::vector<double> SmallProgram::solve() {
  const std::size_t width = width_;
  const std::size_t height = rows_.size() / width;
  std::vector<std::size_t> column(variables_);  // which variable each column is; from `variables_` on: slacks
  std::vector<std::size_t> row(height);
  for (std::size_t k = 0; k < variables_; ++k) column[k] = k;
  for (std::size_t r = 0; r < height; ++r) row[r] = variables_ + r;
  constexpr double kNothing = 1e-11;  // rounding of the tableau
  const std::size_t most = 50 * (variables_ + height);
  for (std::size_t step = 0; step < most; ++step) {
    // The steepest column; after many exchanges the first one (Bland), which cannot go in circles.
    std::size_t in = variables_;
    double best = -kNothing;
    for (std::size_t k = 0; k < variables_; ++k) {
      if (objective_[k] >= best) continue;
      in = k;
      best = objective_[k];
      if (step > most / 2) break;
    }
    if (in == variables_) break;
    std::size_t out = height;
    double least = 0.0;
    for (std::size_t r = 0; r < height; ++r) {
      const double* a = rows_.data() + r * width;
      if (a[in] <= kNothing) continue;
      const double ratio = a[variables_] / a[in];
      if (out == height || ratio < least || (ratio == least && row[r] < row[out])) {
        out = r;
        least = ratio;
      }
    }
    invariant(out != height, "a small program has no bound");
    double* pivot = rows_.data() + out * width;
    const double inverse = 1.0 / pivot[in];
    for (std::size_t k = 0; k < width; ++k) pivot[k] *= inverse;
    pivot[in] = inverse;
    const auto eliminate = [&](double* other) {
      const double f = other[in];
      if (f == 0.0) return;
      other[in] = 0.0;
      for (std::size_t k = 0; k < width; k += 2) {  // two at a time
        const double one = other[k] - f * pivot[k];
        const double next = other[k + 1] - f * pivot[k + 1];
        other[k] = one;
        other[k + 1] = next;
      }
    };
    for (std::size_t r = 0; r < height; ++r) {
      if (r == out) continue;
      double* other = rows_.data() + r * width;
      eliminate(other);
      if (other[variables_] < 0.0) other[variables_] = 0.0;  // rounding
    }
    eliminate(objective_.data());
    std::swap(column[in], row[out]);
  }
  std::vector<double> x(variables_, 0.0);
  for (std::size_t r = 0; r < height; ++r) {
    if (row[r] < variables_) x[row[r]] = rows_[r * width + variables_];
  }
  return x;
}

}  // namespace lastwright
