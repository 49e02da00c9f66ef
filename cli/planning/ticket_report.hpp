// What the cutting tickets say, as tables, as JSON and in words.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/tables/table.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

std::vector<Table> ticket_tables(const Tickets& tickets);
Table ticket_notes(const Tickets& tickets);  // what they rest on: for where it stands nowhere else
std::string tickets_json(const Tickets& tickets, const Order& order, const FailedStyles& failed);
// What is in doubt of the dies, a line each with its style.
std::vector<std::string> die_doubts_text(const Tickets& tickets);
std::string tickets_text(const Tickets& tickets);

}  // namespace lastwright
