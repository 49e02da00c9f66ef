// Nothing of an order is lost on its tickets: counted
// again from the order's lines, apart from what made them.
#pragma once

#include "grading/planning/tickets.hpp"

namespace lastwright {

// Every pair of the order's lines has one number, from 1 without a gap, in one case of its own; every piece
// of the style is on one ticket for each of these numbers, as many of it as a pair takes, and the component
// count wants as many. Fails with Trouble::kInternal and what is lost or there twice.
Status check_ticket_count(const Order& order, const std::vector<OrderedStyle>& styles,
                          const Tickets& tickets);

}  // namespace lastwright
