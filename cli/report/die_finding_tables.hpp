// What a die order finds: by the die-making checks, by the style's checks, and of owned dies that serve
// nothing.
#pragma once

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

Table die_findings_table(const DieOrder& order, const DiePlan& plan);
// Of dies to make, one row a piece and kind of finding: the worst, and on how many lines.
Table gathered_findings_table(const DieOrder& order, const DiePlan& plan);
// What the die-making checks go by, and on whose word.
Table die_limits_table(const DieLimits& limits);
Table unused_dies_table(const DieOrder& order);
Table failed_checks_table(const DieOrder& order);

}  // namespace lastwright
