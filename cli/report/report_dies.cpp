// Dies of the report: totals, ties, what tolerance buys, findings.
#include <fmt/format.h>

#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_notes.hpp"
#include "cli/report/die_tables.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/die_words.hpp"
#include "cli/report/html_table.hpp"
#include "cli/report/report_sections.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

std::string facts(const DiePlan& plan, const DieOrder& order) {
  std::string html = "<div class=\"facts\">";
  for (const auto& [value, what] : die_facts(order, plan)) {
    html += fmt::format("<div class=\"fact\"><b>{}</b> <span>{}</span></div>", xml_escaped(value),
                        xml_escaped(what));
  }
  return html + "</div>\n";
}

Table ties(const DiePlan& plan, const DieOrder& order) {
  Table table;
  table.name = "ties";
  table.columns = {{"die"},
                   {"piece"},
                   {"drawn as"},
                   {"serves"},
                   {"dies"},
                   {"greatest deviation, mm", 12, 3},
                   {"of its tolerance, %", 12, 0}};
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    if (die.serves.size() < 2) continue;
    table.rows.push_back({{line.number},
                          {line.piece},
                          {line.drawn_as},
                          {line.serves},
                          {to_make_text(die, line)},
                          {die.worst_deviation},
                          {100.0 * die.worst_ratio}});
  }
  return table;
}

std::string fold_out(const std::string& title, const std::string& brief, const std::string& body) {
  return fmt::format(
      "<details><summary><span class=\"name\">{}</span> <span "
      "class=\"brief\">{}</span></summary>\n{}</details>\n",
      title, xml_escaped(brief), body);
}

}  // namespace

std::string dies_html(const ReportInput& input) {
  if (input.dies == nullptr)
    return "<p>No die order was given. \"lastwright dies\" makes one; \"lastwright report --order FOLDER\" "
           "shows it "
           "here, by its own numbers.</p>\n";
  const DiePlan& plan = input.dies->plan;
  const DieOrder& order = input.dies->order;
  std::string html = "<p>" + xml_escaped(head_text(order)) + "</p>\n";
  html += facts(plan, order);
  html += "<h3>By piece</h3>\n" + html_table(die_piece_table(plan), {.classes = "tight", .thousands = true});
  if (const Table held = die_held_table(plan); !held.rows.empty())
    html += "<h3>" + std::string(kHeldHeading) + "</h3>\n<p>" + xml_escaped(held_note()) + "</p>\n" +
            html_table(held, {.classes = "tight"});
  if (!plan.curve.empty())
    html += "<h3>What tolerance buys</h3>\n" +
            (curve_note(plan).empty() ? "" : "<p>" + xml_escaped(curve_note(plan)) + "</p>\n") +
            html_table(die_curve_table(plan), {.classes = "tight", .thousands = true, .figures = true});
  const Table tied = ties(plan, order);
  if (!tied.rows.empty()) {
    html += fold_out(
        "Ties",
        counted(tied.rows.size(), "outline that serves", "outlines that serve") + " several sizes or widths",
        html_table(tied, {}));
  }
  const Table findings = gathered_findings_table(order, plan);
  if (!findings.rows.empty())
    html += fold_out("Die-making findings", "by piece and kind, the worst of each",
                     html_table(findings, {.thousands = true}));
  html += "<div class=\"block mind\"><h3>With dies and presses</h3><ul>";
  for (const std::string& caution : die_cautions()) html += "<li>" + xml_escaped(caution) + "</li>";
  return html +
         "</ul></div>\n<p class=\"source\">The order's folder has a drawing of each die, and the order as a "
         "page, "
         "XLSX, CSV and JSON.</p>\n";
}

}  // namespace lastwright
