// What the rows of a ticket say of dies and feet, in print and in tables alike.
#pragma once

#include <string>
#include <utility>

#include "grading/planning/tickets.hpp"

namespace lastwright {

// "D12, D13"; "none" where the die order has none for the row, "ready cut" where it needs none.
std::string joined_dies(const CuttingTicket& ticket, const TicketRow& row);

// How many of a row are for the left foot, and for the right; as drawn and mirrored where the style does not
// say which foot is drawn, or each shoe takes both.
std::pair<int, int> by_foot(const TicketRow& row);
// Whether a row has pieces of two hands that are called L and R, and such that are not.
bool has_feet(const TicketRow& row);
bool has_hands(const TicketRow& row);
// What the two are called on a ticket, and where its rows differ on each of them.
std::pair<std::string, std::string> foot_titles(const CuttingTicket& ticket);
std::pair<std::string, std::string> foot_cells(const CuttingTicket& ticket, const TicketRow& row);

}  // namespace lastwright
