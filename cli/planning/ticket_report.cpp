#include "cli/planning/ticket_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "cli/planning/barcode.hpp"
#include "cli/planning/order_told.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/page_pdf.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

std::string joined_dies(const TicketRow& row) {
  if (row.without_die) return "none";
  std::string all;
  for (const std::string& die : row.dies) all += (all.empty() ? "" : ", ") + die;
  return all;
}

// How many of a row are for the left foot, and for the right; where the style does not say which foot it
// draws, for that one and for the other.
std::pair<int, int> by_foot(const CuttingTicket& ticket, const TicketRow& row) {
  const bool right = ticket.drawn_foot == "right";
  return right ? std::pair(row.mirrored, row.as_drawn) : std::pair(row.as_drawn, row.mirrored);
}
std::pair<std::string, std::string> foot_titles(const CuttingTicket& ticket) {
  const bool right = ticket.drawn_foot == "right";
  return {foot_words(ticket.drawn_foot, right), foot_words(ticket.drawn_foot, !right)};
}

std::string pair_range(const TicketRow& row) {
  return row.first_pair == row.last_pair ? fmt::format("{}", row.first_pair)
                                         : fmt::format("{} to {}", row.first_pair, row.last_pair);
}

struct PageColumn {
  const char* title;
  double x;
  double width;
};
constexpr PageColumn kTicketColumns[] = {{"piece", 15, 38}, {"size", 54, 11},         {"width", 66, 11},
                                         {"pairs", 78, 11}, {"pair numbers", 90, 24}, {"", 115, 13},
                                         {"", 130, 13},     {"either", 145, 12},  // the feet between them
                                         {"dies", 158, 16}, {"zone", 175, 9},         {"dm2", 185, 15}};
constexpr std::size_t kFeetFrom = 5;  // columns: the feet, the zone
constexpr std::size_t kZoneColumn = 9;
constexpr double kRowHeight = 6.0;  // mm

void add_row(PrintedPage& page, double y, const std::vector<std::string>& cells) {
  for (std::size_t c = 0; c < cells.size() && c < std::size(kTicketColumns); ++c)
    page.texts.push_back({{kTicketColumns[c].x, y}, 2.2, cells[c], kTicketColumns[c].width});
  page.rules.push_back({{15.0, y + 1.8}, {200.0, y + 1.8}});
}

Status add_ticket(const CuttingTicket& ticket, bool failed, const std::string& doubt,
                  std::vector<PrintedPage>& pages) {
  // At the foot of the page where the number is long.
  constexpr std::size_t kBeside = 10;
  const bool coded = fits_barcode(ticket.number);
  const bool beside = ticket.number.size() <= kBeside;
  std::vector<Box2> bars;
  if (coded) {
    const Result<std::vector<Box2>> made =
        code_128(ticket.number,
                 beside ? BarcodePlace{{140.0, 12.0}, 0.4, 12.0} : BarcodePlace{{15.0, 269.0}, 0.36, 11.0});
    if (!made) return made.problem();
    bars = *made;
  }
  constexpr double kTop = 62.0;  // mm from the page's upper rim, as the other
  constexpr double kBottom = 262.0;
  const auto rows_a_page = static_cast<std::size_t>((kBottom - kTop) / kRowHeight);
  const std::size_t count = std::max<std::size_t>(1, (ticket.rows.size() + rows_a_page - 1) / rows_a_page);
  for (std::size_t p = 0; p < count; ++p) {
    PrintedPage page;
    page.bars = bars;
    if (failed) page.texts.push_back({{15.0, 12.0}, 4.0, "CHECKS FAILED: cut nothing by this ticket", 120.0});
    page.texts.push_back({{15.0, 20.0}, 5.0, "Cutting ticket " + ticket.number, 120.0});
    if (beside) page.texts.push_back({{140.0, 28.0}, 2.5, ticket.number, 0.0});
    page.texts.push_back(
        {{15.0, 30.0},
         3.0,
         ticket.style + ", case " + ticket.case_number + (ticket.due.empty() ? "" : ", due " + ticket.due),
         120.0});
    page.texts.push_back(
        {{15.0, 38.0}, 3.5, ticket.material.empty() ? "no material is stated" : ticket.material, 180.0});
    page.texts.push_back(
        {{15.0, 46.0},
         2.5,
         fmt::format("{}, {:.2f} dm2 allowed{}", counted(ticket.pieces(), "piece"), ticket.allowed() / 1e4,
                     count > 1 ? fmt::format("; page {} of {}", p + 1, count) : ""),
         180.0});
    page.texts.push_back({{15.0, 50.5}, 1.8, ticket.rests_on, 185.0});
    if (!doubt.empty()) page.texts.push_back({{15.0, 54.0}, 2.0, doubt, 185.0});
    std::vector<std::string> titles;
    for (const PageColumn& column : kTicketColumns) titles.emplace_back(column.title);
    std::tie(titles[kFeetFrom], titles[kFeetFrom + 1]) = foot_titles(ticket);
    const bool zones = std::any_of(ticket.rows.begin(), ticket.rows.end(),
                                   [](const TicketRow& row) { return !row.zone.empty(); });
    if (!zones) titles[kZoneColumn].clear();
    add_row(page, kTop - kRowHeight, titles);
    for (std::size_t r = p * rows_a_page; r < std::min(ticket.rows.size(), (p + 1) * rows_a_page); ++r) {
      const TicketRow& row = ticket.rows[r];
      add_row(page, kTop + static_cast<double>(r - p * rows_a_page) * kRowHeight,
              {row.piece, row.size, row.width, fmt::format("{}", row.pairs), pair_range(row),
               fmt::format("{}", by_foot(ticket, row).first), fmt::format("{}", by_foot(ticket, row).second),
               fmt::format("{}", row.either), joined_dies(row), row.zone,
               fmt::format("{:.2f}", row.allowed / 1e4)});
    }
    page.texts.push_back(
        {{15.0, 285.0},
         2.2,
         "Keep and mark the parts of one pair together. Presses crush and dies cut: guards and "
         "two-hand controls stay in use.",
         185.0});
    pages.push_back(std::move(page));
  }
  return Done{};
}

// What stands on a ticket of its dies: not more than a line.
std::string doubt_of(const CuttingTicket& ticket, const Tickets& tickets) {
  std::string words;
  const auto add = [&](const std::string& more) { words += (words.empty() ? "" : "; ") + more; };
  for (const DieDoubt& doubt : tickets.die_doubts) {
    if (doubt.style == ticket.style && doubt.stale) add(doubt.words);
  }
  if (std::any_of(ticket.rows.begin(), ticket.rows.end(),
                  [](const TicketRow& row) { return row.without_die; }))
    add("none: the die order has no die for this row");
  return words;
}

Status add_sorting_list(const Tickets& tickets, const Order& order, std::vector<PrintedPage>& pages) {
  // Millimetres.
  constexpr double kTop = 32.0;
  constexpr double kBottom = 282.0;
  constexpr double kHead = 10.0;  // from a case's name to its first pair
  constexpr double kCode = 9.0;   // more where the barcode stands under the name
  constexpr double kPair = 5.0;
  const std::size_t first = pages.size();
  PrintedPage page;
  double y = 297.0;
  const std::string title =
      "Sorting list by pair" + (tickets.order.empty() ? "" : ", order " + tickets.order);
  const auto turn_page = [&] {
    if (!page.texts.empty()) pages.push_back(std::move(page));
    page = PrintedPage{};
    page.texts.push_back({{15.0, 18.0}, 5.0, title, 180.0});
    if (const std::size_t out = order.rows_left_out(); out > 0)
      page.texts.push_back({{15.0, 24.0},
                            2.5,
                            counted(out, "row of the order was", "rows of the order were") +
                                " not understood and " + (out == 1 ? "is" : "are") + " left out",
                            180.0});
    y = kTop;
  };
  for (const OrderCase& one : tickets.cases) {
    const std::string name =
        fmt::format("case {}: {}{}", one.number, one.style, one.due.empty() ? "" : ", due " + one.due);
    // Beside the words where there is room, else under them.
    constexpr std::size_t kBeside = 16;
    const std::string code = case_code(tickets.order, one.number);
    const bool coded = !code.empty();
    const bool beside = code.size() <= kBeside;
    // What fits on a page is not parted.
    const double head = kHead + (coded && !beside ? kCode : 0.0);
    const double high = head + kPair * (static_cast<double>(one.pairs.size()) - 1.0);
    if (y + (kTop + high > kBottom ? head + 3.0 * kPair : high) > kBottom) turn_page();
    page.texts.push_back({{15.0, y}, 3.2, name, 100.0});
    if (coded) {
      const Vec2 at = beside ? Vec2{120.0, y - 6.0} : Vec2{20.0, y + 3.0};
      const Result<std::vector<Box2>> bars = code_128(code, {at, 0.35, 9.0});
      if (!bars) return bars.problem();
      page.bars.insert(page.bars.end(), bars->begin(), bars->end());
    }
    y += head;
    for (const NumberedPair& pair : one.pairs) {
      if (y > kBottom) {
        turn_page();
        page.texts.push_back({{15.0, y}, 3.2, name + ", continued", 180.0});
        y += kHead;
      }
      page.texts.push_back({{18.0, y}, 2.3, fmt::format("pair {}", pair.number), 0.0});
      page.texts.push_back({{48.0, y}, 2.3, fmt::format("size {}  width {}", pair.size, pair.width), 0.0});
      page.rules.push_back({{15.0, y + 1.6}, {110.0, y + 1.6}});
      y += kPair;
    }
    y += 6.0;
  }
  if (!page.texts.empty()) pages.push_back(std::move(page));
  for (std::size_t k = first; k < pages.size(); ++k)
    pages[k].texts.push_back({{15.0, 290.0},
                              2.2,
                              fmt::format("{}, page {} of {}", title, k - first + 1, pages.size() - first),
                              180.0});
  return Done{};
}

}  // namespace

std::vector<Table> ticket_tables(const Tickets& tickets) {
  Table rows;
  rows.name = "tickets";
  rows.filter = true;
  rows.columns = {{"order", 14, 0},    {"ticket", 9, 0},     {"case", 14, 0},    {"style", 20, 0},
                  {"material", 24, 0}, {"piece", 18, 0},     {"size", 7, 0},     {"width", 7, 0},
                  {"pairs", 7, 0},     {"first pair", 8, 0}, {"last pair", 8, 0}};
  // One pair of columns where every style says which foot it draws, or none does; else one for either kind.
  bool stated = false;
  bool unstated = false;
  for (const CuttingTicket& ticket : tickets.tickets) (ticket.drawn_foot.empty() ? unstated : stated) = true;
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
      const auto [left, right] = by_foot(ticket, row);
      const bool own = !ticket.drawn_foot.empty();
      if (stated && !own) cells.resize(cells.size() + 2);
      cells.push_back({std::int64_t{left}});
      cells.push_back({std::int64_t{right}});
      if (own && unstated) cells.resize(cells.size() + 2);
      cells.insert(cells.end(),
                   {TableCell{std::int64_t{row.either}}, TableCell{std::int64_t{row.pieces()}},
                    TableCell{joined_dies(row)}, TableCell{row.zone}, TableCell{row.allowed / 1e4}});
    }
  }
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
  std::vector<Table> all{rows, sorting, marks, components};
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

std::string tickets_json(const Tickets& tickets, const Order& order, const FailedStyles& failed) {
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
                      {"as_drawn", row.as_drawn},
                      {"mirrored", row.mirrored},
                      {"either", row.either},
                      {"dies", row.dies},
                      {"zone", row.zone},
                      {"allowed_mm2", std::round(row.allowed * 10.0) / 10.0}});
    }
    list.push_back({{"ticket", ticket.number},
                    {"case", ticket.case_number},
                    {"style", ticket.style},
                    {"material", ticket.material},
                    {"due", ticket.due.empty() ? Json() : Json(ticket.due)},
                    {"drawn_foot", ticket.drawn_foot},
                    {"pieces", ticket.pieces()},
                    {"allowed_mm2", std::round(ticket.allowed() * 10.0) / 10.0},
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

Result<std::string> tickets_pdf(const Tickets& tickets, const Order& order, const FailedStyles& failed) {
  std::vector<PrintedPage> pages;
  for (const CuttingTicket& ticket : tickets.tickets) {
    const bool bad = std::any_of(failed.begin(), failed.end(),
                                 [&](const FailedStyle& one) { return one.style == ticket.style; });
    if (Status added = add_ticket(ticket, bad, doubt_of(ticket, tickets), pages); !added)
      return added.problem();
  }
  if (Status added = add_sorting_list(tickets, order, pages); !added) return added.problem();
  return write_page_pdf(pages, {.title = "Cutting tickets"});
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
    if (count.hand != "right") (count.was_counted ? some_counted : some_not) += 1;
  }
  if (some_counted > 0 && some_not > 0)
    text += fmt::format("counted: {} of {} kinds of piece by size and width; of the others nothing is said\n",
                        some_counted, some_counted + some_not);
  for (const std::string& note : tickets.notes) text += note + "\n";
  return text;
}

}  // namespace lastwright
