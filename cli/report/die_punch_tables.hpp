// The punches of a die order as tables.
#pragma once

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// Punches of the whole order by piece, diameter and count on a die.
Table die_punches_table(const DieOrder& order, const DiePlan& plan);
// The same in short: each diameter with its pieces; special punches of a piece in one row.
Table short_punches_table(const DieOrder& order, const DiePlan& plan);

}  // namespace lastwright
