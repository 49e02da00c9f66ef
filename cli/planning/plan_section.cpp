#include "cli/planning/plan_section.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/planning/dates_report.hpp"
#include "cli/planning/label_sheet.hpp"
#include "cli/planning/needs_report.hpp"
#include "cli/planning/ticket_report.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/io/svg_canvas.hpp"

namespace lastwright {

namespace {

std::string tables_html(const std::vector<Table>& tables) {
  std::string html;
  for (const Table& table : tables) {
    html += fmt::format(
        "<details><summary><span class=\"name\">{}</span> <span class=\"brief\">{} rows</span></summary>{}"
        "</details>\n",
        xml_escaped(table.name), table.rows.size(), html_table(table));
  }
  return html;
}

}  // namespace

Result<PlanSection> plan_section(const LoadedOrder& order, unsigned threads,
                                 const std::function<void(std::size_t)>& advance) {
  const Result<Needs> needs = needs_of(order.order, order.styles, order.works, {threads, advance});
  if (!needs) return needs.problem();
  const Result<Tickets> tickets = tickets_of(order.order, *needs, order.styles, order.works, {}, {});
  if (!tickets) return tickets.problem();
  const Result<Schedule> schedule = schedule_of(order.order, *needs, order.works);
  if (!schedule) return schedule.problem().in_file(order.works.file);
  const auto late = std::count_if(schedule->orders.begin(), schedule->orders.end(),
                                  [](const PlacedOrder& placed) { return placed.late(); });
  const Result<LabelSheet> labels = label_sheet_of(*tickets, *needs, order);
  if (!labels) return labels.problem();
  PlanSection section;
  section.text = fmt::format("{} pairs in {} cases; {} rows of the order left out, {} supplies late",
                             needs->pairs, tickets->cases.size(), order.order.bad_rows.size(), late);
  section.failed = late > 0 || !order.order.bad_rows.empty();
  section.html =
      fmt::format("<p{}>{}, from {} and {}.</p>\n", section.failed ? " class=\"bad\"" : "",
                  xml_escaped(section.text), xml_escaped(order.order.file), xml_escaped(order.works.file));
  section.html += "<h3>What it takes</h3>\n" + tables_html(needs_tables(*needs, order.order));
  std::vector<Table> together = ticket_tables(*tickets);
  together.push_back(label_table(*labels));
  section.html += "<h3>How it is kept together</h3>\n" + tables_html(together);
  section.html +=
      "<h3>What must be ordered by when</h3>\n" + tables_html(dates_tables(*schedule, order.works));
  std::vector<std::string> notes = schedule->notes;
  if (schedule->without_period > 0)
    notes.push_back(
        fmt::format("{} lines of the order state no period and are in no date", schedule->without_period));
  notes.insert(notes.end(), tickets->notes.begin(), tickets->notes.end());
  notes.insert(notes.end(), labels->notes.begin(), labels->notes.end());
  section.html += "<ul>";
  for (const std::string& note : notes) section.html += "<li>" + xml_escaped(note) + "</li>";
  section.html += "</ul>\n";
  return section;
}

}  // namespace lastwright
