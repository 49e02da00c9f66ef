#include "cli/planning/ticket_report.hpp"

#include <fmt/format.h>

#include <cmath>

#include "cli/planning/order_told.hpp"
#include "cli/planning/ticket_words.hpp"
#include "geometry/counted.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

Table cutting_table(const Tickets& tickets) {
  Table rows;
  rows.name = "tickets";
  rows.filter = true;
  rows.columns = {{"order", 14, 0},    {"ticket", 9, 0},     {"case", 14, 0},    {"style", 20, 0},
                  {"material", 24, 0}, {"piece", 18, 0},     {"size", 7, 0},     {"width", 7, 0},
                  {"pairs", 7, 0},     {"first pair", 8, 0}, {"last pair", 8, 0}};
  // One pair of columns where every piece says which foot it is drawn for, or none does; else one for either
  // kind.
  bool stated = false;
  bool unstated = false;
  bool any_foot = false;
  for (const CuttingTicket& ticket : tickets.tickets) {
    for (const TicketRow& row : ticket.rows) {
      stated = stated || has_feet(row);
      unstated = unstated || has_hands(row);
      any_foot = any_foot || one_foot(row.drawn_foot);
    }
  }
  stated = stated || (!unstated && any_foot);
  for (const char* title : {"L", "R"}) {
    if (stated) rows.columns.push_back({title, 9, 0});
  }
  for (const char* title : {"as drawn", "mirrored"}) {
    if (unstated || !stated) rows.columns.push_back({title, 9, 0});
  }
  rows.columns.insert(
      rows.columns.end(),
      {{"either", 8, 0}, {"pieces", 8, 0}, {"dies", 18, 0}, {"zone", 14, 0}, {"allowed, dm2", 10, 3}});
  for (const CuttingTicket& ticket : tickets.tickets) {
    for (const TicketRow& row : ticket.rows) {
      rows.rows.push_back({{tickets.order},
                           {ticket.number},
                           {ticket.case_number},
                           {ticket.style},
                           {shown_material(ticket.material)},
                           {row.piece},
                           {row.size},
                           {row.width},
                           {std::int64_t{row.pairs}},
                           {std::int64_t{row.first_pair}},
                           {std::int64_t{row.last_pair}}});
      std::vector<TableCell>& cells = rows.rows.back();
      const auto [left, right] = by_foot(row);
      const bool own =
          stated && (!unstated || has_feet(row) || (!has_hands(row) && one_foot(row.drawn_foot)));
      if (stated && !own) cells.resize(cells.size() + 2);
      cells.push_back({std::int64_t{left}});
      cells.push_back({std::int64_t{right}});
      if (own && unstated) cells.resize(cells.size() + 2);
      cells.insert(cells.end(), {TableCell{std::int64_t{row.either}}, TableCell{std::int64_t{row.pieces()}},
                                 TableCell{joined_dies(ticket, row)}, TableCell{row.zone},
                                 ticket.ready_cut ? TableCell{} : TableCell{row.allowed / 1e4}});
    }
  }
  return rows;
}

Table sorting_table(const Tickets& tickets) {
  Table sorting;
  sorting.name = "sorting list";
  sorting.columns = {{"order", 14, 0}, {"pair", 7, 0}, {"case", 14, 0},
                     {"style", 20, 0}, {"size", 7, 0}, {"width", 7, 0}};
  for (const OrderCase& one : tickets.cases) {
    for (const NumberedPair& pair : one.pairs)
      sorting.rows.push_back({{tickets.order},
                              {std::int64_t{pair.number}},
                              {one.number},
                              {pair.style},
                              {pair.size},
                              {pair.width}});
  }
  return sorting;
}

Table mark_table(const Tickets& tickets) {
  Table marks;
  marks.name = "pair marks";
  marks.columns = {{"pair", 7, 0},  {"style", 20, 0}, {"piece", 18, 0},     {"stamped", 16, 0},
                   {"x, mm", 9, 2}, {"y, mm", 9, 2},  {"turned, deg", 9, 1}};
  for (const PairMark& mark : tickets.marks)
    marks.rows.push_back({{std::int64_t{mark.pair}},
                          {mark.style},
                          {mark.piece},
                          {mark.text},
                          {mark.at.x},
                          {mark.at.y},
                          {mark.degrees}});
  return marks;
}

Table component_table(const Tickets& tickets) {
  Table components;
  components.name = "component count";
  components.filter = true;
  components.columns = {{"style", 20, 0},  {"piece", 18, 0},   {"size", 7, 0},
                        {"width", 7, 0},   {"hand", 7, 0},     {"wanted", 8, 0},
                        {"counted", 8, 0}, {"short by", 8, 0}, {"over by", 8, 0}};
  for (const ComponentCount& count : tickets.components) {
    components.rows.push_back(
        {{count.style},
         {count.piece},
         {count.size},
         {count.width},
         {count.hand},
         {std::int64_t{count.wanted}},
         count.was_counted ? TableCell{std::int64_t{count.counted}} : TableCell{},
         count.short_by() > 0 ? TableCell{std::int64_t{count.short_by()}, Emphasis::kBad} : TableCell{},
         count.over_by() > 0 ? TableCell{std::int64_t{count.over_by()}} : TableCell{}});
  }
  return components;
}

}  // namespace

std::vector<Table> ticket_tables(const Tickets& tickets) {
  std::vector<Table> all{cutting_table(tickets), sorting_table(tickets), mark_table(tickets),
                         component_table(tickets)};
  if (!tickets.die_doubts.empty()) {
    Table doubts;
    doubts.name = "dies in doubt";
    doubts.columns = {{"style", 20, 0}, {"what", 100, 0}};
    for (const DieDoubt& doubt : tickets.die_doubts)
      doubts.rows.push_back({{doubt.style}, {doubt.words, Emphasis::kBad}});
    all.insert(all.begin(), std::move(doubts));
  }
  return all;
}

Table ticket_notes(const Tickets& tickets) {
  Table table;
  table.name = "notes";
  table.columns = {{"what the tickets rest on", 120, 0}};
  for (const std::string& note : tickets.notes) table.rows.push_back({{note}});
  return table;
}

namespace {

// Of its rows with a left and a right, else that each row has its own.
std::string common_foot(const CuttingTicket& ticket) {
  const TicketRow* first = nullptr;
  for (const TicketRow& row : ticket.rows) {
    if (!has_feet(row) && !has_hands(row)) continue;
    if (first != nullptr && row.drawn_foot != first->drawn_foot) return kByPiece;
    first = &row;
  }
  if (first != nullptr) return first->drawn_foot;
  return ticket.rows.empty() ? "" : ticket.rows.front().drawn_foot;
}

}  // namespace

std::string tickets_json(const Tickets& tickets, const Order& order, const FailedStyles& failed) {
  const auto allowed = [](const CuttingTicket& ticket, double area) {
    return ticket.ready_cut ? Json() : Json(std::round(area * 10.0) / 10.0);
  };
  Json list = Json::array();
  for (const CuttingTicket& ticket : tickets.tickets) {
    Json rows = Json::array();
    for (const TicketRow& row : ticket.rows) {
      rows.push_back({{"piece", row.piece},
                      {"size", row.size},
                      {"width", row.width},
                      {"pairs", row.pairs},
                      {"first_pair", row.first_pair},
                      {"last_pair", row.last_pair},
                      {"drawn_foot", row.drawn_foot},
                      {"as_drawn", row.as_drawn},
                      {"mirrored", row.mirrored},
                      {"either", row.either},
                      {"dies", row.dies},
                      {"zone", row.zone},
                      {"allowed_mm2", allowed(ticket, row.allowed)}});
    }
    list.push_back({{"ticket", ticket.number},
                    {"case", ticket.case_number},
                    {"style", ticket.style},
                    {"material", ticket.material},
                    {"due", ticket.due.empty() ? Json() : Json(ticket.due)},
                    {"drawn_foot", common_foot(ticket)},
                    {"pieces", ticket.pieces()},
                    {"ready_cut", ticket.ready_cut},
                    {"allowed_mm2", allowed(ticket, ticket.allowed())},
                    {"allowed_rests_on", ticket.rests_on},
                    {"rows", std::move(rows)}});
  }
  Json cases = Json::array();
  for (const OrderCase& one : tickets.cases) {
    Json pairs = Json::array();
    for (const NumberedPair& pair : one.pairs)
      pairs.push_back({{"pair", pair.number}, {"size", pair.size}, {"width", pair.width}});
    const std::string code = case_code(tickets.order, one.number);
    cases.push_back({{"case", one.number},
                     {"barcode", code.empty() ? Json() : Json(code)},
                     {"style", one.style},
                     {"assortment", one.assortment.empty() ? Json() : Json(one.assortment)},
                     {"period", one.period == 0 ? Json() : Json(one.period)},
                     {"due", one.due.empty() ? Json() : Json(one.due)},
                     {"pairs", std::move(pairs)}});
  }
  Json marks = Json::array();
  for (const PairMark& mark : tickets.marks) {
    marks.push_back({{"pair", mark.pair},
                     {"style", mark.style},
                     {"piece", mark.piece},
                     {"stamped", mark.text},
                     {"at", {four_decimals(mark.at.x), four_decimals(mark.at.y)}},
                     {"turned_deg", mark.degrees}});
  }
  int pieces = 0;
  for (const CuttingTicket& ticket : tickets.tickets) pieces += ticket.pieces();
  Json missing = Json::array();
  Json over = Json::array();
  for (const ComponentCount& count : tickets.components) {
    if (count.short_by() == 0 && count.over_by() == 0) continue;
    Json one{{"style", count.style}, {"piece", count.piece},   {"size", count.size},
             {"width", count.width}, {"wanted", count.wanted}, {"counted", count.counted}};
    if (!count.hand.empty()) one["hand"] = count.hand;
    (count.short_by() > 0 ? missing : over).push_back(std::move(one));
  }
  Json json{{"lastwright_tickets", 1},       {"order", tickets.order},    {"pieces_counted_again", pieces},
            {"tickets", std::move(list)},    {"cases", std::move(cases)}, {"pair_marks", std::move(marks)},
            {"missing", std::move(missing)}, {"over", std::move(over)},   {"notes", tickets.notes}};
  Json without = Json::array();
  for (const PieceWithoutDie& piece : tickets.without_die)
    without.push_back({{"style", piece.style}, {"piece", piece.piece}, {"sizes_and_widths", piece.at}});
  json["without_die"] = std::move(without);
  json["die_doubts"] = die_doubts_text(tickets);
  add_told(json, order, failed);
  return json.dump(1) + "\n";
}

std::vector<std::string> die_doubts_text(const Tickets& tickets) {
  std::vector<std::string> lines;
  for (const DieDoubt& doubt : tickets.die_doubts) lines.push_back(doubt.style + ": " + doubt.words);
  return lines;
}

std::string tickets_text(const Tickets& tickets) {
  std::size_t pairs = 0;
  for (const OrderCase& one : tickets.cases) pairs += one.pairs.size();
  int short_by = 0;
  for (const ComponentCount& count : tickets.components) short_by += count.short_by();
  std::string text =
      fmt::format("order \"{}\": {} in {}, {}, {}\n", tickets.order, counted(pairs, "pair"),
                  counted(tickets.cases.size(), "case"), counted(tickets.tickets.size(), "ticket"),
                  counted(tickets.marks.size(), "pair mark"));
  int pieces = 0;
  for (const CuttingTicket& ticket : tickets.tickets) pieces += ticket.pieces();
  text += fmt::format(
      "counted again from the order: every pair has its number, and the tickets hold {}, none twice\n",
      counted(pieces, "piece"));
  std::size_t some_counted = 0;
  std::size_t some_not = 0;
  for (const ComponentCount& count : tickets.components) {
    const std::string hand = count.hand.empty() ? "" : ", " + count.hand;
    if (count.short_by() > 0)
      text += fmt::format("short by {}: {} {} {}{}\n", count.short_by(), count.piece, count.size, count.width,
                          hand);
    if (count.over_by() > 0)
      text += fmt::format("cut beyond the order by {}: {} {} {}{}\n", count.over_by(), count.piece,
                          count.size, count.width, hand);
    if (count.hand != "right" && count.hand != "mirrored") (count.was_counted ? some_counted : some_not) += 1;
  }
  if (some_counted > 0 && some_not > 0)
    text += fmt::format("counted: {} of {} kinds of piece by size and width; of the others nothing is said\n",
                        some_counted, some_counted + some_not);
  for (const std::string& note : tickets.notes) text += note + "\n";
  return text;
}

}  // namespace lastwright
