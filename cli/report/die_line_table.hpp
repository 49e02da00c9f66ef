// The die order's table of dies: one row a line of the order, each row complete in itself.
#pragma once

#include <string>
#include <vector>

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_stated.hpp"

namespace lastwright {

// The words of one of the facts; empty: it is not among them.
std::string fact_words(const std::vector<StatedFact>& facts, const std::string& what);
// A figure where it is stated, else words.
TableCell rule_height_cell(const DieOrder& order, const DieOrderLine& line);
TableCell rule_thickness_cell(const DieOrder& order, const DieOrderLine& line);
TableCell making_cell(const DieOrder& order, const DieOrderLine& line);
TableCell layers_cell(const DieOrder& order, const DieOrderLine& line);

Table die_table(const DieOrder& order, const DiePlan& plan);

// mm: a radius above it is not told, the rule is as good as straight.
inline constexpr double kAsStraight = 1000.0;

}  // namespace lastwright
