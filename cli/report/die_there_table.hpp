// The dies that are there already, one a row: what is to be done with each, and all that notes say of it.
#pragma once

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// No rows where none is there.
Table dies_there_table(const DieOrder& order, const DiePlan& plan);

}  // namespace lastwright
