// Dies of the report: totals, ties, what tolerance buys, findings.
#include <fmt/format.h>

#include <algorithm>

#include "cli/report/die_tables.hpp"
#include "cli/report/html_table.hpp"
#include "cli/report/report_sections.hpp"
#include "geometry/io/svg_canvas.hpp"

namespace lastwright {

namespace {

std::string fact(const std::string& value, const std::string& what) {
  return fmt::format("<div class=\"fact\"><b>{}</b> <span>{}</span></div>", xml_escaped(value),
                     xml_escaped(what));
}

std::string facts(const DiePlan& plan, const DieOrder& order) {
  std::string html = "<div class=\"facts\">";
  html += fact(fmt::format("{}", order.totals.dies), "dies to make");
  html += fact(fmt::format("{}", plan.dies_without), "with a die for every size and width");
  html += fact(fmt::format("{}", plan.dies_without - plan.dies_needed), "saved by ties");
  html += fact(plan.proven ? "proven" : fmt::format("at least {:.0f}", plan.bound), "to be the fewest");
  html +=
      fact(fmt::format("{:.1f} m", (order.totals.rule_outer + order.totals.rule_inner) / 1000.0), "of rule");
  html += fact(fmt::format("{:.3f} mm", plan.worst_seam),
               fmt::format("greatest seam difference as served, limit {:g} mm", plan.seam_limit));
  if (order.priced)
    html += fact(fmt::format("{:.2f} {}", order.totals.price, order.currency), "by the rates given");
  return html + "</div>\n";
}

Table ties(const DiePlan& plan, const DieOrder& order) {
  Table table;
  table.name = "ties";
  table.columns = {{"die"},
                   {"piece"},
                   {"drawn as"},
                   {"serves"},
                   {"hands"},
                   {"farthest off, mm", 12, 3},
                   {"of its tolerance, %", 12, 0}};
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    if (die.serves.size() < 2) continue;
    table.rows.push_back({{line.number},
                          {line.piece},
                          {line.drawn_as},
                          {line.serves},
                          {std::string(name_of(die.hands.mode))},
                          {die.worst_deviation},
                          {100.0 * die.worst_ratio}});
  }
  return table;
}

// One row a kind of finding and piece: how often, and the worst.
Table gathered_findings(const DiePlan& plan, const DieOrder& order) {
  struct Gathered {
    std::string check;
    std::string piece;
    std::int64_t count = 0;
    const DieFinding* worst = nullptr;
    std::string die = {};
  };
  std::vector<Gathered> all;
  for (const DieOrderLine& line : order.lines) {
    for (const DieFinding& finding : plan.dies[line.die].findings) {
      auto one = std::find_if(all.begin(), all.end(), [&](const Gathered& g) {
        return g.check == finding.check && g.piece == line.piece;
      });
      if (one == all.end()) one = all.insert(all.end(), {finding.check, line.piece});
      ++one->count;
      const auto off = [](const DieFinding& f) { return std::abs(f.value - f.limit.value); };
      if (one->worst == nullptr || off(finding) > off(*one->worst)) {
        one->worst = &finding;
        one->die = line.number + ", " + line.drawn_as;
      }
    }
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Gathered& a, const Gathered& b) { return a.check < b.check; });
  Table table;
  table.name = "die-making findings";
  table.columns = {{"check"},        {"piece"}, {"times"},    {"worst", 12, 2},
                   {"limit", 12, 2}, {"unit"},  {"worst on"}, {"standing of the limit"},
                   {"its source"}};
  for (const Gathered& one : all) {
    table.rows.push_back({{one.check},
                          {one.piece},
                          {one.count},
                          {one.worst->value},
                          {one.worst->limit.value},
                          {one.worst->unit},
                          {one.die},
                          {std::string(name_of(one.worst->limit.provenance))},
                          {one.worst->limit.source}});
  }
  return table;
}

std::string folded(const std::string& title, const std::string& brief, const std::string& body) {
  return fmt::format(
      "<details><summary><span class=\"name\">{}</span> <span "
      "class=\"brief\">{}</span></summary>\n{}</details>\n",
      title, xml_escaped(brief), body);
}

}  // namespace

std::string dies_html(const ReportInput& input) {
  if (input.dies == nullptr)
    return "<p>" + xml_escaped(input.dies_failed ? "not planned: " + input.no_dies : input.no_dies) +
           "</p>\n";
  const DiePlan& plan = input.dies->plan;
  const DieOrder& order = input.dies->order;
  std::string html = facts(plan, order);
  html += "<h3>By piece</h3>\n" + html_table(die_piece_table(plan), {.classes = "tight"});
  if (!plan.curve.empty())
    html += "<h3>What tolerance buys</h3>\n" +
            html_table(die_curve_table(plan), {.classes = "tight", .figures = true});
  const Table tied = ties(plan, order);
  if (!tied.rows.empty()) {
    html += folded("Ties", fmt::format("{} outlines that serve several sizes or widths", tied.rows.size()),
                   html_table(tied, {}));
  }
  const Table findings = gathered_findings(plan, order);
  if (!findings.rows.empty())
    html += folded("Die-making findings", "by kind and piece, the worst of each", html_table(findings, {}));
  html += "<div class=\"block mind\"><h3>With dies and presses</h3><ul>";
  for (const std::string& caution : die_cautions()) html += "<li>" + xml_escaped(caution) + "</li>";
  return html +
         "</ul></div>\n<p class=\"source\">The order itself, with a drawing of each die: lastwright "
         "dies.</p>\n";
}

}  // namespace lastwright
