// The die order as tables: totals, pieces, the tolerance curve, and what the number of dies hangs on.
#pragma once

#include <string>

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

Table die_totals_table(const DieOrder& order, const DiePlan& plan);
Table die_piece_table(const DiePlan& plan);
Table die_curve_table(const DiePlan& plan);
// That tolerances of kinds are scaled along with that of all; empty where none is stated.
std::string curve_note(const DiePlan& plan);
inline constexpr double kFootLength = 304.8;  // mm
// Which seams keep which pieces from fewer dies; and what that means.
Table die_held_table(const DiePlan& plan);
inline constexpr const char* kHeldHeading = "What the number of dies hangs on";
std::string held_note();

// A bound of a price in hundredths, never rounded up.
double bound_below(double bound);
// With three decimals, or as many as it takes to stay on
// its side of the limit: 0.09996 is not shown as 0.100.
std::string below_limit(double value, double limit);

}  // namespace lastwright
