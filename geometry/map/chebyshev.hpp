// The three unknowns that make the greatest of many weighted linear residuals smallest.
//
// Exchange of references: the smallest greatest residual of all rows is that of some four of them (Helly),
// and it never falls when the worst row outside is taken in. Ends when no row exceeds the reference's level.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

namespace lastwright {

// |value + gradient . x|, already divided by the row's tolerance.
struct ResidualRow {
  double value = 0.0;
  std::array<double, 3> gradient{};
};

struct Minimax {
  std::array<double, 3> x{};
  double level = 0.0;     // a lower bound of what any x can reach, over these rows
  double achieved = 0.0;  // greatest residual at x; level <= achieved, equal within rounding when settled
};

// `stiffness`: three extra rows |stiffness * x_j| that keep
// the answer finite where the rows leave a direction free.
Minimax smallest_greatest(const std::vector<ResidualRow>& rows, std::array<double, 3> stiffness);

// The shortest x that keeps every residual within `level`, to one part in a thousand; `otherwise` where no
// such x is found. Where the rows leave a direction free, smallest_greatest may stand anywhere along it; this
// is the calm choice.
std::array<double, 3> shortest_within(const std::vector<ResidualRow>& rows, double level,
                                      std::array<double, 3> otherwise);

}  // namespace lastwright
