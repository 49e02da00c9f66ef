#include "cli/planning/plan_section.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/planning/dates_report.hpp"
#include "cli/planning/hide_report.hpp"
#include "cli/planning/label_sheet.hpp"
#include "cli/planning/needs_report.hpp"
#include "cli/planning/plan_json.hpp"
#include "cli/planning/ticket_report.hpp"
#include "cli/planning/works_doubts.hpp"
#include "cli/progress.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

std::string tables_html(const std::vector<Table>& tables) {
  std::string html;
  for (const Table& table : tables) {
    html += fmt::format(
        "<details><summary><span class=\"name\">{}</span> <span class=\"brief\">{}</span></summary>{}"
        "</details>\n",
        xml_escaped(table.name), counted(table.rows.size(), "row"), html_table(table));
  }
  return html;
}

// The pairs of the order's sizes and widths in turn, laid on the hides that the works file gives as drawings.
struct HideLayouts {
  std::string html;
  std::vector<std::string> json;
};

HideLayouts hide_layouts(const LoadedOrder& order) {
  HideLayouts all;
  std::string& html = all.html;
  for (const auto& [material, hide] : order.hides) {
    for (const OrderedStyle& style : order.styles) {
      const StyleGrade& grade = *style.grade;
      std::vector<std::size_t> pieces;
      for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
        if (grade.pieces[p].bound.spec.material == material) pieces.push_back(p);
      }
      if (pieces.empty()) continue;
      HideOptions options;
      options.rules = order.works.materials.at(material).lay;
      options.pieces = order.works.cutting;
      std::vector<HidePair> kinds;
      for (std::size_t k = 0; k < grade.run_cells(); ++k) {
        const SizeWidth& at = grade.cells[k];
        const bool ordered =
            std::any_of(order.order.lines.begin(), order.order.lines.end(), [&](const OrderLine& line) {
              return line.style == style.name && line.size == at.size.label && line.width == at.width.label;
            });
        if (ordered) kinds.push_back({k});
      }
      std::vector<HidePair> pairs;
      for (std::size_t k = 0; k < options.most_pairs; ++k) pairs.push_back(kinds[k % kinds.size()]);
      html += fmt::format("<h4>{}: {}</h4>\n", xml_escaped(material), xml_escaped(style.name));
      Progress progress("trying layouts", 0);
      options.expect = [&](std::size_t count) { progress.expect(count); };
      options.advance = [&](std::size_t count) { progress.advance(count); };
      const Result<HideLayout> layout = lay_on_hide(grade, pieces, pairs, hide, options);
      if (!layout) {
        html += "<p class=\"bad\">" + xml_escaped(layout.problem().message) + "</p>\n";
        continue;
      }
      HideReport report{&grade,
                        &hide,
                        &*layout,
                        style.name,
                        material,
                        order.works.materials.at(material).hide->outline,
                        options.rules.gap,
                        {},
                        {"the sizes and widths of the order in turn"},
                        {}};
      report.spec = style.spec;
      html += hide_part(report);
      all.json.push_back(hide_json(report));
    }
  }
  return all;
}

}  // namespace

Result<PlanSection> plan_section(const LoadedOrder& order, const PlanExtras& extras, unsigned threads,
                                 const std::function<void(std::size_t)>& advance) {
  const Result<Needs> needs = needs_of(order.order, order.styles, order.works, {threads, advance});
  if (!needs) return needs.problem();
  Result<Tickets> tickets = tickets_of(order.order, *needs, order.styles, order.works, extras.dies, {});
  if (!tickets) return tickets.problem();
  tickets->die_doubts.insert(tickets->die_doubts.begin(), extras.stale.begin(), extras.stale.end());
  const Result<Schedule> schedule = schedule_of(order.order, *needs, order.works);
  if (!schedule) return schedule.problem().in_file(order.works.file);
  const std::size_t late = supplies_late(*schedule);
  const Result<LabelSheet> labels = label_sheet_of(*tickets, *needs, order);
  if (!labels) return labels.problem();
  const Result<FileDigests> files = file_digests(order.inputs);
  if (!files) return files.problem();
  PlanSection section;
  section.text = fmt::format("{} in {}; {} left out, {} late", counted(needs->pairs, "pair"),
                             counted(tickets->cases.size(), "case"),
                             counted(order.order.rows_left_out(), "row of the order", "rows of the order"),
                             counted(late, "supply", "supplies"));
  if (!order.failed.empty()) section.text += "; " + failed_line(order.failed);
  if (!schedule->without_period.empty())
    section.text += "; " + counted(schedule->without_period.size(), "row", "rows") + " without a period";
  section.failed = late > 0 || !order.order.bad_rows.empty() || !order.failed.empty() ||
                   !schedule->without_period.empty() || !tickets->die_doubts.empty();
  section.html =
      fmt::format("<p{}>{}, from {} and {}.</p>\n", section.failed ? " class=\"bad\"" : "",
                  xml_escaped(section.text), xml_escaped(order.order.file), xml_escaped(order.works.file));
  section.doubts = doubts_text(order.order);
  std::vector<std::string> notes = extras.doubts;
  const std::vector<std::string> die_doubts = die_doubts_text(*tickets);
  notes.insert(notes.end(), die_doubts.begin(), die_doubts.end());
  if (std::string words = without_period_words(*schedule); !words.empty()) notes.push_back(std::move(words));
  section.doubts.insert(section.doubts.end(), notes.begin(), notes.end());
  for (const std::string& note : notes) section.html += "<p class=\"bad\">" + xml_escaped(note) + "</p>\n";
  section.html += "<h3>What it takes</h3>\n" + tables_html(needs_tables(*needs, order.order, order.failed));
  HideLayouts hides = hide_layouts(order);
  if (!hides.html.empty()) section.html += "<h3>How whole pairs lie on your hides</h3>\n" + hides.html;
  std::vector<Table> together = ticket_tables(*tickets);
  together.push_back(label_table(*labels));
  section.html += "<h3>How pairs are kept together</h3>\n" + tables_html(together);
  section.html += "<h3>What must be ordered by when</h3>\n" +
                  tables_html(dates_tables(*schedule, order.works, order.order));
  notes.insert(notes.end(), schedule->notes.begin(), schedule->notes.end());
  notes.insert(notes.end(), tickets->notes.begin(), tickets->notes.end());
  notes.insert(notes.end(), labels->notes.begin(), labels->notes.end());
  section.html += "<ul>";
  for (const std::string& note : notes) section.html += "<li>" + xml_escaped(note) + "</li>";
  section.html += "</ul>\n";
  section.json = plan_json(
      {order, *needs, *tickets, *labels, *schedule, std::move(hides.json), late, std::move(notes)}, *files);
  return section;
}

}  // namespace lastwright
