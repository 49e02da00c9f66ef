#include "cli/planning/ticket_words.hpp"

#include "grading/style/foot_words.hpp"

namespace lastwright {

std::string joined_dies(const CuttingTicket& ticket, const TicketRow& row) {
  if (ticket.ready_cut) return "ready cut";
  if (row.without_die) return "none";
  std::string all;
  for (const std::string& die : row.dies) all += (all.empty() ? "" : ", ") + die;
  return all;
}

std::pair<int, int> by_foot(const CuttingTicket& ticket, const TicketRow& row) {
  const bool right = ticket.drawn_foot == "right";
  return right ? std::pair(row.mirrored, row.as_drawn) : std::pair(row.as_drawn, row.mirrored);
}

std::pair<std::string, std::string> foot_titles(const CuttingTicket& ticket) {
  const bool right = ticket.drawn_foot == "right";
  return {foot_words(ticket.drawn_foot, right), foot_words(ticket.drawn_foot, !right)};
}

}  // namespace lastwright
