// Notes on the dies of an order that are there already: how many of each, the stamps they bear, their
// numbers.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// Dies that are there in fewer than the quantity that is asked for: nothing orders the rest.
std::vector<std::string> quantity_notes(const DieOrder& order);
// Which dies that are there bear another stamp than this order asks for, with both stamps, and which keep one
// that says more.
std::vector<std::string> stamp_notes(const DieOrder& order);
// Pairs whose two dies come from orders of their own and keep two numbers, which is which; and numbers that
// dies of several lines bear.
std::vector<std::string> number_notes(const DieOrder& order);

}  // namespace lastwright
