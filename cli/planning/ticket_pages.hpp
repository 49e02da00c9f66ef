// Cutting tickets and the sorting list, to print.
#pragma once

#include <string>

#include "cli/report/failed_checks.hpp"
#include "grading/planning/tickets.hpp"

namespace lastwright {

// A page a ticket (more where its rows need them), then the sorting list; barcodes of the ticket's number and
// of each case. A ticket of a style whose checks fail says so on each of its pages, the
// sorting list how many rows of the order are left out.
Result<std::string> tickets_pdf(const Tickets& tickets, const Order& order, const FailedStyles& failed);

}  // namespace lastwright
