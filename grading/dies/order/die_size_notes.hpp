// What an order says of dies that could have nicks that tell size or width and have none.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// Somebody who looks for it on the piece finds none.
std::vector<std::string> size_untold_notes(const DieOrder& order, const DiePlan& plan);

}  // namespace lastwright
