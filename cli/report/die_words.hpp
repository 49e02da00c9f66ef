// What the order says in words that stand on pages, tables and drawings alike.
#pragma once

#include <optional>
#include <string>

#include "grading/dies/die_order.hpp"

namespace lastwright {

// "rule 19 mm high, thickness as you usually take it; the line
// drawn is the cutting edge, bevel on the waste; no handle"
std::string making_text(const DieMaking& making, std::optional<double> height);
std::string rule_text(const DieOrder& order, const DieOrderLine& line);
// "No. 2026-17, 3 June 2026, contact: ..."; empty where nothing was given.
std::string head_text(const DieOrder& order);
// "2: L and R", "1 for both feet", "1: R; L is there: D0007", "none, owned: D0007"
std::string to_make_text(const PlannedDie& die, const DieOrderLine& line);
// 2210 as "2,210".
std::string with_thousands(long long whole);
std::string with_thousands(double value, int decimals);

}  // namespace lastwright
