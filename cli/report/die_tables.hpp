// The die order as tables: one line a die, totals, the tolerance curve, findings, cautions.
#pragma once

#include <string>
#include <vector>

#include "cli/table.hpp"
#include "grading/die_order.hpp"

namespace lastwright {

Table die_table(const DieOrder& order, const DiePlan& plan);
Table die_totals_table(const DieOrder& order, const DiePlan& plan);
Table die_piece_table(const DiePlan& plan);
Table die_curve_table(const DiePlan& plan);
Table die_findings_table(const DieOrder& order, const DiePlan& plan);
Table die_cautions_table();

// Printed on every order.
std::vector<std::string> die_cautions();

}  // namespace lastwright
