// Cutting tickets to print and to count by.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/table.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

std::vector<Table> ticket_tables(const Tickets& tickets);
Table ticket_notes(const Tickets& tickets);  // what they rest on: for where it stands nowhere else
std::string tickets_json(const Tickets& tickets, const Order& order, const FailedStyles& failed);
// A page a ticket (more where its rows need them), then the sorting list; barcodes of the ticket's number and
// of each case. A ticket of a style whose checks fail says so on each of its pages, the
// sorting list how many rows of the order are left out.
Result<std::string> tickets_pdf(const Tickets& tickets, const Order& order, const FailedStyles& failed);
// What is in doubt of the dies, a line each with its style.
std::vector<std::string> die_doubts_text(const Tickets& tickets);
std::string tickets_text(const Tickets& tickets);

}  // namespace lastwright
