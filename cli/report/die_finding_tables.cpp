#include "cli/report/die_finding_tables.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include "cli/report/die_cells.hpp"
#include "cli/report/die_notes.hpp"

namespace lastwright {

Table die_findings_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "findings";
  table.filter = true;
  table.columns = {{"die", 8, 0},
                   {"piece", 18, 0},
                   {"check", 22, 0},
                   {"value", 10, 3},
                   {"limit", 10, 2},
                   {"unit", 6, 0},
                   {"x, mm", 10, 2},
                   {"y, mm", 10, 2},
                   {"basis of the limit", 18, 0},
                   {"source of the limit", 50, 0}};
  for (const DieOrderLine& line : order.lines) {
    for (const DieFinding& finding : plan.dies[line.die].findings) {
      table.rows.push_back({text_cell(line.number), text_cell(line.piece), text_cell(finding.check),
                            number_cell(finding.value), number_cell(finding.limit.value),
                            text_cell(finding.unit), number_cell(finding.at.x), number_cell(finding.at.y),
                            text_cell(name_of(finding.limit.provenance)), text_cell(finding.limit.source)});
    }
  }
  return with_checks(std::move(table), order);
}

Table gathered_findings_table(const DieOrder& order, const DiePlan& plan) {
  struct Gathered {
    std::string piece;
    std::string check;
    std::size_t count = 0;
    std::size_t served = 0;  // sizes and widths
    std::string last_die;
    const DieFinding* worst = nullptr;
    std::string where;
  };
  std::vector<Gathered> all;  // in the order of the pieces
  for (const DieOrderLine& line : order.lines) {
    if (line.to_make == 0) continue;  // nobody makes what is there
    for (const DieFinding& finding : plan.dies[line.die].findings) {
      auto one = std::find_if(all.begin(), all.end(), [&](const Gathered& g) {
        return g.check == finding.check && g.piece == line.piece;
      });
      if (one == all.end()) one = all.insert(all.end(), {line.piece, finding.check, 0, 0, "", nullptr, ""});
      ++one->count;
      if (one->last_die != line.number) one->served += line.sizes_widths.size();
      one->last_die = line.number;
      const auto off = [](const DieFinding& f) { return std::abs(f.value - f.limit.value); };
      if (one->worst != nullptr && off(finding) <= off(*one->worst)) continue;
      one->worst = &finding;
      one->where = line.number + ", " + line.drawn_as;
    }
  }
  Table table;
  table.name = "findings by piece";
  table.columns = {{"piece", 18, 0},
                   {"check", 22, 0},
                   {"worst", 10, 3},
                   {"limit", 10, 2},
                   {"unit", 6, 0},
                   {"sizes and widths", 10, 0},
                   {"findings", 10, 0},
                   {"worst on", 24, 0},
                   {"basis of the limit", 18, 0},
                   {"source of the limit", 50, 0}};
  for (const Gathered& one : all) {
    table.rows.push_back({text_cell(one.piece), text_cell(one.check), number_cell(one.worst->value),
                          number_cell(one.worst->limit.value), text_cell(one.worst->unit),
                          whole_cell(static_cast<std::int64_t>(one.served)),
                          whole_cell(static_cast<std::int64_t>(one.count)), text_cell(one.where),
                          text_cell(name_of(one.worst->limit.provenance)),
                          text_cell(one.worst->limit.source)});
  }
  return table;
}

Table die_limits_table(const DieLimits& limits) {
  Table table;
  table.name = "limits";
  table.columns = {{"limit", 12, 0}, {"value", 12, 2}, {"basis", 12, 0}, {"source", 12, 0}};
  const auto row = [&](const char* name, const DieLimit& limit) {
    table.rows.push_back({{std::string(name), {}},
                          {limit.value, {}},
                          {std::string(name_of(limit.provenance)), {}},
                          {limit.source, {}}});
  };
  row("gap between rules, mm", limits.rule_gap);
  row("neck, and width of a cut-out, mm", limits.slot);
  row("rule of a special punch, less than, mm", limits.special_punch);
  row("bend radius, mm", limits.bend_radius);
  row("punch diameter, mm", limits.smallest_punch);
  row("hole to rule or hole, mm", limits.hole_to_edge);
  row("shortest straight, mm", limits.shortest_straight);
  row("opening of a corner into the piece, deg", limits.inside_corner);
  row("corner of the piece, deg", limits.outside_corner);
  row("tangent break, deg", limits.tangent_break);
  return table;
}

Table unused_dies_table(const DieOrder& order) {
  Table table;
  table.name = "owned, not used";
  table.columns = {{"owned die", 30, 0}, {"why no size of this run is cut with it", 100, 0}};
  for (const auto& [number, why] : order.unused) table.rows.push_back({text_cell(number), text_cell(why)});
  return table;
}

Table failed_checks_table(const DieOrder& order) {
  Table table;
  table.name = "CHECKS FAILED";
  table.columns = {{"check", 18, 0}, {"of", 40, 0},    {"value", 12, 4},        {"limit", 12, 4},
                   {"unit", 10, 0},  {"where", 24, 0}, {"what it means", 70, 0}};
  for (const StyleFinding& finding : order.failed) {
    table.rows.push_back({text_cell(finding.check), text_cell(finding.subject), number_cell(finding.worst),
                          finding.limit ? number_cell(*finding.limit) : TableCell{}, text_cell(finding.unit),
                          text_cell(to_text(finding.where)), text_cell(finding.note)});
  }
  return table;
}

}  // namespace lastwright
