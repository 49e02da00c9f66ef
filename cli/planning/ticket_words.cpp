#include "cli/planning/ticket_words.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/style/foot_words.hpp"

namespace lastwright {

std::string joined_dies(const CuttingTicket& ticket, const TicketRow& row) {
  if (ticket.ready_cut) return "ready cut";
  if (row.without_die) return "none";
  std::string all;
  for (const std::string& die : row.dies) all += (all.empty() ? "" : ", ") + die;
  return all;
}

std::pair<int, int> by_foot(const TicketRow& row) {
  const bool right = row.drawn_foot == "right";
  return right ? std::pair(row.mirrored, row.as_drawn) : std::pair(row.as_drawn, row.mirrored);
}

bool has_feet(const TicketRow& row) {
  return row.as_drawn + row.mirrored > 0 && one_foot(row.drawn_foot);
}

bool has_hands(const TicketRow& row) {
  return row.as_drawn + row.mirrored > 0 && !one_foot(row.drawn_foot);
}

std::pair<std::string, std::string> foot_titles(const CuttingTicket& ticket) {
  const bool feet = std::any_of(ticket.rows.begin(), ticket.rows.end(), has_feet);
  const bool hands = std::any_of(ticket.rows.begin(), ticket.rows.end(), has_hands);
  if (feet && hands) return {"L", "R"};
  const bool stated =
      feet || (!hands && std::any_of(ticket.rows.begin(), ticket.rows.end(),
                                     [](const TicketRow& row) { return one_foot(row.drawn_foot); }));
  return stated ? std::pair<std::string, std::string>{"L", "R"}
                : std::pair{foot_words("", false), foot_words("", true)};
}

std::pair<std::string, std::string> foot_cells(const CuttingTicket& ticket, const TicketRow& row) {
  const auto [first, second] = by_foot(row);
  const bool named = has_hands(row) && foot_titles(ticket).first == "L";
  return {fmt::format("{}{}", first, named ? " " + foot_words("", false) : ""),
          fmt::format("{}{}", second, named ? " " + foot_words("", true) : "")};
}

}  // namespace lastwright
