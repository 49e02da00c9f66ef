// What the rows of a ticket say of dies and feet, in print and in tables alike.
#pragma once

#include <string>
#include <utility>

#include "grading/planning/tickets.hpp"

namespace lastwright {

// "D12, D13"; "none" where the die order has none for the row, "ready cut" where it needs none.
std::string joined_dies(const CuttingTicket& ticket, const TicketRow& row);

// How many of a row are for the left foot, and for the right; where the style does not say which foot it
// draws, for that one and for the other.
std::pair<int, int> by_foot(const CuttingTicket& ticket, const TicketRow& row);
// What these two are called.
std::pair<std::string, std::string> foot_titles(const CuttingTicket& ticket);

}  // namespace lastwright
