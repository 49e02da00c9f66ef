// The die order as one self-contained HTML page that prints
// well: totals, cautions, a card with a picture for each die.
#pragma once

#include <string>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

std::string die_order_page(const DieOrder& order, const DiePlan& plan, const DieRules& rules);

}  // namespace lastwright
