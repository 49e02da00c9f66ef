// How a whole batch was graded: offset, step by size and step by width of one measure against its table,
// fitted so that a few mis-stamped lasts do not move it.
#pragma once

#include <array>
#include <span>
#include <vector>

namespace lastwright {

// One last's deviation from its table value, with where it stands.
struct Deviation {
  double size_steps = 0.0;   // from the base
  double width_steps = 0.0;  // from the base
  double value = 0.0;        // reading minus table, millimetres
};

// A fitted number with its interval.
struct Estimate {
  bool known = false;  // false: the batch does not vary enough to tell
  double value = 0.0;
  double low = 0.0;
  double high = 0.0;
  double p = 1.0;  // how often chance alone would leave 0 by as much
};

struct BatchFit {
  Estimate offset;           // at the middle of the batch
  Estimate by_size;          // millimetres per whole size beyond the table's step
  Estimate by_width;         // millimetres per width beyond the table's step
  double middle_size = 0.0;  // size and width steps that the offset holds at
  double middle_width = 0.0;
  double spread = 0.0;  // standard deviation of what is left, without the outliers
  std::size_t used = 0;
  std::size_t outliers = 0;  // beyond 4 spreads: left out of the fit

  // Variances and covariances of offset, by_size and by_width, square millimetres; 0 for what is not known.
  std::array<std::array<double, 3>, 3> covariance{};

  // What the fit expects beyond the table.
  [[nodiscard]] double expected(double size_steps, double width_steps) const {
    return offset.value + by_size.value * (size_steps - middle_size) +
           by_width.value * (width_steps - middle_width);
  }
  // Standard error of that.
  [[nodiscard]] double expected_error(double size_steps, double width_steps) const;
  // The same as an estimate, its interval with `confidence`.
  [[nodiscard]] Estimate at(double size_steps, double width_steps, double confidence) const;
  [[nodiscard]] double freedom() const;
};

// Least squares after iteratively reweighted (Tukey bisquare) fits have named the outliers. Needs 4 lasts and
// two different sizes (widths) for a step by size (width). `tape_spread`, millimetres, is what one reading is
// uncertain by: nothing nearer than 4 of these is ever an outlier, or a small batch would be trimmed until it
// looks perfect. `step`, millimetres, is what readings are rounded to: the spread counts as step / sqrt(12)
// at least.
BatchFit fit_batch(std::span<const Deviation> deviations, double confidence, double tape_spread,
                   double step = 0.0);

// By how much the lasts of a group (one size, one width) lie beyond what all the others lead to: the fit is
// made without them. Lasts of the group beyond 4 spreads of its median are left out: one bad last is not a
// bad size. Not known where the others say too little.
Estimate beyond_others(std::span<const Deviation> group, std::span<const Deviation> others, double confidence,
                       double tape_spread, double step = 0.0);

}  // namespace lastwright
