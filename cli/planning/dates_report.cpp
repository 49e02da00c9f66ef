#include "cli/planning/dates_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/planning/dated_cases.hpp"
#include "cli/planning/order_told.hpp"
#include "cli/planning/planning_page.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/json/json_text.hpp"
#include "grading/planning/calendar.hpp"
#include "grading/planning/material_notes.hpp"
#include "grading/planning/works_calendar.hpp"

namespace lastwright {

namespace {

// The first day of a period, or the last working day before it, where the works has a calendar; else its
// number alone.
std::string period_text(int period, const WorksSpec& works) {
  if (!works.calendar) return fmt::format("period {}", period);
  return day_text(working_day_by(*works.calendar, period_begins(*works.calendar, period)));
}

std::string shown_unit(const std::string& unit) {
  return unit.empty() ? "not stated" : unit;
}

double to_six(double value) {
  return std::round(value * 1e6) / 1e6 + 0.0;
}

Table orders_table(const Schedule& schedule, const WorksSpec& works) {
  Table table;
  table.name = "orders to place";
  table.filter = true;
  table.columns = {{"order in period", 9, 0},
                   {"order by", 12, 0},
                   {"item", 26, 0},
                   {"supplier", 20, 0},
                   {"quantity", 12, 2},
                   {"unit", 10, 0},
                   {"to arrive in period", 9, 0},
                   {"to arrive by", 12, 0},
                   {"late by, periods", 9, 0},
                   {"missing", 12, 2}};
  for (const PlacedOrder& order : schedule.orders) {
    table.rows.push_back(
        {{std::int64_t{order.period}},
         {period_text(order.period, works)},
         {order.item},
         {order.supplier},
         {order.quantity},
         {shown_unit(order.unit)},
         {std::int64_t{order.needed}},
         {period_text(order.needed, works)},
         order.late() ? TableCell{std::int64_t{1 - order.period}, Emphasis::kBad} : TableCell{},
         {order.missing, order.late() ? Emphasis::kBad : Emphasis::kNone}});
  }
  return table;
}

struct Phase {
  const char* what;
  const std::vector<double>* values;
  [[nodiscard]] bool holds_nothing() const {
    return std::all_of(values->begin(), values->end(), [](double value) { return value == 0.0; });
  }
};

std::array<Phase, 6> phases_of(const ItemPlan& item) {
  return {{{"needed", &item.gross},
           {"on order", &item.receipts},
           {"on hand", &item.on_hand},
           {"missing", &item.net},
           {"planned in", &item.planned},
           {"to order", &item.releases}}};
}

// For programs six rows an item; for people without those that hold nothing.
Table phases_table(const Schedule& schedule, bool every_row) {
  Table table;
  table.name = "by period";
  table.fixed_columns = 2;
  table.columns = {{"item", 26, 0}, {"what", 16, 0}};
  for (int t = 0; t <= schedule.plan.periods; ++t)
    table.columns.push_back({t == 0 ? "before" : fmt::format("{}", t), 9, 2});
  for (const ItemPlan& item : schedule.plan.items) {
    for (const Phase& phase : phases_of(item)) {
      if (!every_row && phase.holds_nothing()) continue;
      std::vector<TableCell> row{{item.name}, {std::string(phase.what)}};
      for (const double value : *phase.values) row.push_back(value == 0.0 ? TableCell{} : TableCell{value});
      table.rows.push_back(std::move(row));
    }
  }
  return table;
}

// "on order (all items); missing (box calf, welt)": the rows that the page leaves out. Empty: none.
std::string without_figures(const Schedule& schedule) {
  std::vector<std::pair<std::string, std::vector<std::string>>> empty;
  for (const ItemPlan& item : schedule.plan.items) {
    for (std::size_t k = 0; const Phase& phase : phases_of(item)) {
      if (empty.size() <= k) empty.emplace_back(phase.what, std::vector<std::string>());
      if (phase.holds_nothing()) empty[k].second.push_back(item.name);
      ++k;
    }
  }
  std::string words;
  for (const auto& [what, names] : empty) {
    if (names.empty()) continue;
    words +=
        fmt::format("{}{} ({})", words.empty() ? "" : "; ", what,
                    names.size() == schedule.plan.items.size() ? std::string("all items")
                                                               : fmt::format("{}", fmt::join(names, ", ")));
  }
  return words;
}

Table waiting_table(const Schedule& schedule) {
  Table table;
  table.name = "what waits";
  table.columns = {
      {"item", 26, 0}, {"longest run of periods with stock", 14, 0}, {"quantity x periods", 14, 2}};
  for (const Waiting& waiting : schedule.waiting)
    table.rows.push_back({{waiting.item}, {std::int64_t{waiting.periods}}, {waiting.total}});
  return table;
}

// How the days of this page are counted.
std::string calendar_words(const WorksSpec& works) {
  if (!works.calendar) return "";
  const WorksCalendar& calendar = *works.calendar;
  std::string words =
      calendar.working_days > 0
          ? fmt::format("a period is {} from {}",
                        counted(static_cast<std::size_t>(calendar.working_days), "working day"),
                        calendar.first)
          : fmt::format("a period is {} from {}", counted(static_cast<std::size_t>(calendar.days), "day"),
                        calendar.first);
  if (calendar.week.empty() && calendar.holidays.empty())
    return words + "; no days of rest are stated, every day counts as a working day";
  return words + fmt::format(
                     "; {} of the week and {} stated: what falls on a day of rest is named for the last "
                     "working day before",
                     calendar.week.empty() ? "all days" : counted(calendar.week.size(), "working day"),
                     counted(calendar.holidays.size(), "holiday"));
}

// Of a supply, what the works file gives; a figure that it does not give is 0.
Table supplies_table(const Schedule& schedule, const WorksSpec& works) {
  Table table;
  table.name = "what the dates rest on";
  table.columns = {{"item", 26, 0},     {"unit", 10, 0},         {"stock", 10, 2},
                   {"on order", 20, 0}, {"lead, periods", 8, 0}, {"ahead, periods", 8, 0},
                   {"multiple", 10, 2}, {"demand", 40, 0}};
  for (const SupplySpec& supply : schedule.supplies) {
    std::string receipts;
    for (const DatedQuantity& one : supply.receipts)
      receipts += fmt::format("{}{} in period {}", receipts.empty() ? "" : ", ", one.quantity, one.period);
    std::vector<std::string> demand;
    if (const auto material = works.materials.find(supply.name); material != works.materials.end()) {
      const BoughtAs as = material->second.bought_as;
      const bool by_area = as == BoughtAs::kHides || as == BoughtAs::kSheets;
      demand.push_back("pieces of the order, as it is bought" +
                       (by_area ? " (" + area_note(material->second) + ")" : std::string()));
    }
    if (supply.per_pair) demand.push_back(fmt::format("{} a pair", *supply.per_pair));
    if (supply.per_case) demand.push_back(fmt::format("{} a case", *supply.per_case));
    const auto stated = std::find_if(works.supplies.begin(), works.supplies.end(),
                                     [&](const SupplySpec& one) { return one.name == supply.name; });
    if (stated != works.supplies.end() && !stated->needed.empty())
      demand.push_back(counted(stated->needed.size(), "quantity of your own", "quantities of your own"));
    for (const SupplySpec& whole : schedule.supplies) {
      if (const auto part = whole.of.find(supply.name); part != whole.of.end())
        demand.push_back(fmt::format("{} of each {}", part->second, whole.name));
    }
    table.rows.push_back(
        {{supply.name},
         {shown_unit(supply.unit)},
         {supply.stock},
         {receipts},
         supply.lead ? TableCell{std::int64_t{*supply.lead}} : TableCell{"not stated, taken to be 0"},
         {std::int64_t{supply.ahead}},
         supply.multiple > 0.0 ? TableCell{supply.multiple} : TableCell{},
         {fmt::format("{}", fmt::join(demand, "; "))}});
  }
  return table;
}

// A lot that is rounded up to its multiple is late by what is missing then alone.
std::string late_words(const PlacedOrder& order) {
  if (!order.late()) return "";
  const std::string words =
      fmt::format("  LATE by {}", counted(static_cast<std::size_t>(1 - order.period), "period"));
  if (to_six(order.missing) == to_six(order.quantity)) return words;
  return words + fmt::format(" ({:.2f} of it missing, the rest fills its multiple)", order.missing);
}

}  // namespace

std::string without_period_words(const Schedule& schedule) {
  if (schedule.without_period.empty()) return "";
  constexpr std::size_t kMostNamed = 20;
  const std::size_t named = std::min(kMostNamed, schedule.without_period.size());
  std::string lines = fmt::format(
      "{}", fmt::join(schedule.without_period.begin(),
                      schedule.without_period.begin() + static_cast<std::ptrdiff_t>(named), ", "));
  if (named < schedule.without_period.size())
    lines += fmt::format(" and {} more", schedule.without_period.size() - named);
  return fmt::format(
      "{} in no period ({} {}): left out of every date and quantity to order; give each one in the column "
      "\"period\", or in \"due\" a day of the works' calendar",
      counted(schedule.without_period.size(), "row of the order lies", "rows of the order lie"),
      schedule.without_period.size() == 1 ? "line" : "lines", lines);
}

std::vector<Table> dates_tables(const Schedule& schedule, const WorksSpec& works, const Order& order) {
  std::vector<Table> tables{orders_table(schedule, works), phases_table(schedule, true),
                            waiting_table(schedule), supplies_table(schedule, works)};
  if (!order.lines.empty()) tables.push_back(cases_table(dated_cases(order, works), works));
  return tables;
}

std::string dates_json(const Schedule& schedule, const WorksSpec& works, const Order& order,
                       const FailedStyles& failed) {
  const auto list = [](const std::vector<double>& values) {
    Json json = Json::array();
    for (const double value : values) json.push_back(to_six(value));
    return json;
  };
  Json items = Json::array();
  for (const ItemPlan& item : schedule.plan.items) {
    items.push_back({{"item", item.name},
                     {"level", item.level},
                     {"needed", list(item.gross)},
                     {"on_order", list(item.receipts)},
                     {"on_hand", list(item.on_hand)},
                     {"missing", list(item.net)},
                     {"planned_in", list(item.planned)},
                     {"to_order", list(item.releases)}});
  }
  Json rests = Json::array();
  for (const SupplySpec& supply : schedule.supplies) {
    Json receipts = Json::array();
    for (const DatedQuantity& one : supply.receipts)
      receipts.push_back({{"period", one.period}, {"quantity", one.quantity}});
    rests.push_back({{"item", supply.name},
                     {"unit", shown_unit(supply.unit)},
                     {"stock", supply.stock},
                     {"receipts", std::move(receipts)},
                     {"lead", supply.lead.value_or(0)},
                     {"lead_stated", supply.lead.has_value()},
                     {"ahead", supply.ahead},
                     {"multiple", supply.multiple}});
  }
  Json orders = Json::array();
  for (const PlacedOrder& placed : schedule.orders) {
    Json one{{"item", placed.item},
             {"supplier", placed.supplier},
             {"quantity", to_six(placed.quantity)},
             {"unit", shown_unit(placed.unit)},
             {"order_in", placed.period},
             {"there_in", placed.needed},
             {"late", placed.late()},
             {"missing", to_six(placed.missing)}};
    if (works.calendar) {
      one["order_by"] = period_text(placed.period, works);
      one["there_by"] = period_text(placed.needed, works);
    }
    orders.push_back(std::move(one));
  }
  Json waiting = Json::array();
  for (const Waiting& one : schedule.waiting)
    waiting.push_back(
        {{"item", one.item}, {"periods", one.periods}, {"quantity_periods", to_six(one.total)}});
  Json json{{"lastwright_dates", 1},
            {"periods", schedule.plan.periods},
            {"about", "lists by period, the first entry is what lies before period 1"},
            {"orders", std::move(orders)},
            {"cases", cases_json(dated_cases(order, works), works)},
            {"calendar", calendar_words(works)},
            {"items", std::move(items)},
            {"rests_on", std::move(rests)},
            {"waiting", std::move(waiting)},
            {"lines_without_period", schedule.without_period.size()},
            {"without_period", schedule.without_period},
            {"not_in_the_figures", schedule.notes}};
  add_told(json, order, failed);
  return json.dump(1) + "\n";
}

std::string dates_page(const Schedule& schedule, const WorksSpec& works, const Order& order,
                       const FailedStyles& failed) {
  const auto late = std::count_if(schedule.orders.begin(), schedule.orders.end(),
                                  [](const PlacedOrder& placed) { return placed.late(); });
  std::string body = told_boxes(order, failed);
  body += fact_boxes({{"orders to place", fmt::format("{}", schedule.orders.size())},
                      {"late", fmt::format("{}", late)},
                      {"periods", fmt::format("{}", schedule.plan.periods)}});
  for (const std::string& note : schedule.notes) body += caution_box(note);
  if (const std::string words = without_period_words(schedule); !words.empty())
    body += caution_box(words + ".");
  if (const std::string words = calendar_words(works); !words.empty())
    body += "<p>Dates by the calendar of the works file: " + xml_escaped(words) + ".</p>\n";
  if (!order.lines.empty())
    body +=
        "<h2>Cases by date</h2>\n<p>A case with pairs of several periods has a row for each of them, as its "
        "pairs are planned. Cases of an assortment are numbered through the order, whatever their style, "
        "unless the order numbers them.</p>\n" +
        html_table(cases_table(dated_cases(order, works), works));
  body +=
      "<h2>Orders to place</h2>\n" + html_table(orders_table(schedule, works)) +
      "<p>Missing: what of the quantity is missing in the period in which it is to arrive; the rest fills "
      "its multiple, for later periods. Late is what should have been ordered before period 1.</p>\n";
  body +=
      "<h2>What waits longest</h2>\n<p>Periods in a row at the end of which there is stock; each piece of it "
      "may lie for less.</p>\n" +
      html_table(waiting_table(schedule));
  body +=
      "<h2>Period by period</h2>\n" + html_table(phases_table(schedule, false)) +
      "<p>Needed: asked for in the period. On order: your receipts. On hand: there when the period ends. "
      "Missing: needed, and neither in stock nor on order. Planned in: arrives by the orders to place. To "
      "order: to be ordered in the period. Before: all that lies before period 1.</p>\n";
  if (const std::string words = without_figures(schedule); !words.empty())
    body += "<p>Rows that hold nothing in any period are left out: " + xml_escaped(words) + ".</p>\n";
  body += "<h2>What the dates rest on</h2>\n" + html_table(supplies_table(schedule, works));
  return planning_page("What to order by when", works.file, body);
}

std::string dates_text(const Schedule& schedule, const WorksSpec& works) {
  std::string text;
  for (const PlacedOrder& order : schedule.orders) {
    text += fmt::format("{:12} {:26} {:>12.2f} {:8} for {}{}\n", period_text(order.period, works), order.item,
                        order.quantity, order.unit.empty() ? "(no unit)" : order.unit,
                        period_text(order.needed, works), late_words(order));
  }
  if (const std::string words = calendar_words(works); !words.empty()) text += words + "\n";
  if (!schedule.waiting.empty())
    text += fmt::format("waits longest: {}, stock at the end of {}\n", schedule.waiting.front().item,
                        counted(schedule.waiting.front().periods, "period", "periods in a row"));
  for (const std::string& note : schedule.notes) text += note + "\n";
  return text;
}

}  // namespace lastwright
