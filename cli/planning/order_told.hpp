// What everything that is reckoned from an order says of it: checks of its styles that fail, rows that were
// not understood, and what may be a mistake. One wording for needs, tickets and dates.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/tables/table.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/planning/order.hpp"

namespace lastwright {

// "CHECKS FAILED", "rows left out" and "doubts": those of them that have rows.
std::vector<Table> told_tables(const Order& order, const FailedStyles& failed);
// The same, each under a line in a box; empty where there is nothing to tell.
std::string told_boxes(const Order& order, const FailedStyles& failed);
// Adds "checks_failed", "rows_left_out" and "doubts": lists, empty where there is nothing to tell.
void add_told(Json& json, const Order& order, const FailedStyles& failed);

// Of pieces that state no material, "(none stated)".
std::string shown_material(const std::string& material);

}  // namespace lastwright
