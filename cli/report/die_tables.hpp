// The die order as tables: one line a die, totals, the tolerance curve, findings, cautions.
#pragma once

#include <string>
#include <vector>

#include "cli/table.hpp"
#include "grading/dies/die_stated.hpp"

namespace lastwright {

// The words of one of the facts; empty: it is not among them.
std::string fact_words(const std::vector<StatedFact>& facts, const std::string& what);
// A figure where it is stated, else words.
TableCell rule_height_cell(const DieOrder& order, const DieOrderLine& line);
TableCell rule_thickness_cell(const DieOrder& order, const DieOrderLine& line);

Table die_table(const DieOrder& order, const DiePlan& plan);
Table die_totals_table(const DieOrder& order, const DiePlan& plan);
Table die_piece_table(const DiePlan& plan);
Table die_curve_table(const DiePlan& plan);
// Which seams keep which pieces from fewer dies; and what that means.
Table die_held_table(const DiePlan& plan);
std::string held_note();
// Punches of the whole order by piece, diameter and count on a die.
Table die_punches_table(const DieOrder& order, const DiePlan& plan);
// The same in short: each diameter with its pieces; special punches of a piece in one row.
Table short_punches_table(const DieOrder& order, const DiePlan& plan);
Table die_findings_table(const DieOrder& order, const DiePlan& plan);
// One row a piece and kind of finding: the worst, and on how many lines.
Table gathered_findings_table(const DieOrder& order, const DiePlan& plan);
Table unused_dies_table(const DieOrder& order);
Table failed_checks_table(const DieOrder& order);
Table die_cautions_table(const DieOrder& order);

// mm: a radius above it is not told, the rule is as good as straight.
inline constexpr double kAsStraight = 1000.0;

// A bound of a price in hundredths, never rounded up.
double bound_below(double bound);
// With three decimals, or as many as it takes to stay on
// its side of the limit: 0.09996 is not shown as 0.100.
std::string below_limit(double value, double limit);

// What the drawings and figures show, and from which side.
std::vector<std::string> die_reading_notes(const DieOrder& order);
// Printed on every order.
std::vector<std::string> die_cautions();

}  // namespace lastwright
