#include "cli/planning/ticket_words.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <tuple>

#include "cli/planning/ticket_report.hpp"

using namespace lastwright;

namespace {

TicketRow row_for(const std::string& foot, int as_drawn, int mirrored, int either = 0) {
  TicketRow row;
  row.piece = "piece " + foot;
  row.pairs = row.first_pair = row.last_pair = 1;
  row.drawn_foot = foot;
  row.as_drawn = as_drawn;
  row.mirrored = mirrored;
  row.either = either;
  return row;
}

using Words = std::pair<std::string, std::string>;

}  // namespace

TEST_CASE("a ticket's columns of feet say of each row what its pieces are called", "[ticket_words]") {
  CuttingTicket ticket;
  ticket.rows = {row_for("left", 3, 2), row_for("right", 3, 2)};
  CHECK(foot_titles(ticket) == Words{"L", "R"});
  CHECK(foot_cells(ticket, ticket.rows[0]) == Words{"3", "2"});
  CHECK(foot_cells(ticket, ticket.rows[1]) == Words{"2", "3"});
  ticket.rows.push_back(row_for("both", 3, 2));
  CHECK(foot_cells(ticket, ticket.rows[1]) == Words{"2", "3"});
  CHECK(foot_cells(ticket, ticket.rows[2]) == Words{"3 as drawn", "2 mirrored"});
  Tickets tickets;
  tickets.tickets = {ticket};
  const Table table = ticket_tables(tickets).front();
  const auto column = [&](const std::string& title) {
    return static_cast<std::size_t>(std::find_if(table.columns.begin(), table.columns.end(),
                                                 [&](const TableColumn& one) { return one.title == title; }) -
                                    table.columns.begin());
  };
  const auto count = [&](std::size_t r, const std::string& title) {
    const auto* value = std::get_if<std::int64_t>(&table.rows[r][column(title)].value);
    return value == nullptr ? -1 : static_cast<int>(*value);
  };
  for (const auto& [r, title, wanted] : {std::tuple{0u, "L", 3},
                                         {0u, "R", 2},
                                         {0u, "as drawn", -1},
                                         {1u, "L", 2},
                                         {1u, "R", 3},
                                         {2u, "L", -1},
                                         {2u, "as drawn", 3},
                                         {2u, "mirrored", 2}})
    CHECK(count(r, title) == wanted);
  ticket.rows.erase(ticket.rows.begin(), ticket.rows.begin() + 2);
  CHECK(foot_titles(ticket) == Words{"as drawn", "mirrored"});
  CHECK(foot_cells(ticket, ticket.rows[0]) == Words{"3", "2"});
  ticket.rows = {row_for("left", 0, 0, 4)};
  CHECK(foot_titles(ticket) == Words{"L", "R"});
}
