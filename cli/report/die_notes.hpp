// What a die order says in words beside its figures: cautions, how to read it, what is not stated, notes.
#pragma once

#include <string>
#include <vector>

#include "cli/tables/table.hpp"
#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// Where the notes of an order stand beside its tables: the file, and the tab of the workbook.
inline constexpr const char* kDieNotesFile = "die-notes.csv";

// What the drawings and figures show, and from which side.
std::vector<std::string> die_reading_notes(const DieOrder& order);
// Printed on every order.
std::vector<std::string> die_cautions();
// Every word of the page that is no row of another table, one row each: first the checks that failed, then
// what is not stated, the notes of the order and of the plan, the die-making findings by piece, cautions, and
// how to read it.
Table die_notes_table(const DieOrder& order, const DiePlan& plan);
// "passed", or which failed and what not to do: on each row of a table that may be carried away alone.
std::string checks_words(const DieOrder& order);
// The same table with these words as its last column.
Table with_checks(Table table, const DieOrder& order);

}  // namespace lastwright
