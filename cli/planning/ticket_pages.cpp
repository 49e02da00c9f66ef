#include "cli/planning/ticket_pages.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "cli/planning/barcode.hpp"
#include "cli/planning/ticket_words.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/page_pdf.hpp"

namespace lastwright {

namespace {

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
    page.texts.push_back(
        {{15.0, 20.0}, 5.0, (ticket.ready_cut ? "Ticket " : "Cutting ticket ") + ticket.number, 120.0});
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
         fmt::format("{}, {}{}", counted(ticket.pieces(), "piece"),
                     ticket.ready_cut
                         ? std::string("bought ready cut, not laid out: cut nothing by this ticket")
                         : fmt::format("{:.2f} dm2 allowed", ticket.allowed() / 1e4),
                     count > 1 ? fmt::format("; page {} of {}", p + 1, count) : ""),
         180.0});
    if (!ticket.ready_cut) page.texts.push_back({{15.0, 50.5}, 1.8, ticket.rests_on, 185.0});
    if (!doubt.empty()) page.texts.push_back({{15.0, 54.0}, 2.0, doubt, 185.0});
    std::vector<std::string> titles;
    for (const PageColumn& column : kTicketColumns) titles.emplace_back(column.title);
    std::tie(titles[kFeetFrom], titles[kFeetFrom + 1]) = foot_titles(ticket);
    const bool zones = std::any_of(ticket.rows.begin(), ticket.rows.end(),
                                   [](const TicketRow& row) { return !row.zone.empty(); });
    if (!zones) titles[kZoneColumn].clear();
    if (ticket.ready_cut) titles.back().clear();
    add_row(page, kTop - kRowHeight, titles);
    for (std::size_t r = p * rows_a_page; r < std::min(ticket.rows.size(), (p + 1) * rows_a_page); ++r) {
      const TicketRow& row = ticket.rows[r];
      add_row(page, kTop + static_cast<double>(r - p * rows_a_page) * kRowHeight,
              {row.piece, row.size, row.width, fmt::format("{}", row.pairs), pair_range(row),
               foot_cells(ticket, row).first, foot_cells(ticket, row).second, fmt::format("{}", row.either),
               joined_dies(ticket, row), row.zone,
               ticket.ready_cut ? "" : fmt::format("{:.2f}", row.allowed / 1e4)});
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
    const std::string name = fmt::format("case {}: {}{}{}", one.number, one.style,
                                         one.assortment.empty() ? "" : ", assortment " + one.assortment,
                                         one.due.empty() ? "" : ", due " + one.due);
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

}  // namespace lastwright
