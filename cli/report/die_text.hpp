// What `dies` says on the terminal: totals, pieces, findings
// in groups, owned dies not used, failed checks last.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

std::string die_order_text(const DieOrder& order, const DiePlan& plan);

// "proven least", or the bound with its unit.
std::string bound_text(const DieOrder& order, const DiePlan& plan);

// The figures at the top of a page, each with what it is.
std::vector<std::pair<std::string, std::string>> die_facts(const DieOrder& order, const DiePlan& plan);

}  // namespace lastwright
