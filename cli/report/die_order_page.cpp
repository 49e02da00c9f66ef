#include "cli/report/die_order_page.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/report/die_tables.hpp"
#include "geometry/io/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr const char* kStyle = R"(
body{font:14px/1.45 system-ui,sans-serif;color:#1b1b1b;margin:24px auto;max-width:1180px;padding:0 16px}
h1{font-size:24px;margin:0}h2{font-size:17px;margin:26px 0 8px}p.sub{color:#555;margin:2px 0 14px}
.facts{display:flex;flex-wrap:wrap;gap:10px;margin:14px 0}
.fact{border:1px solid #d5d5d5;border-radius:6px;padding:8px 14px}.fact b{display:block;font-size:20px}
table{border-collapse:collapse;font-variant-numeric:tabular-nums}th,td{padding:3px 10px;border-bottom:1px solid #e2e2e2;text-align:right}
th:first-child,td:first-child{text-align:left}th{color:#555;font-weight:600}
.caution{border-left:5px solid #d55e00;background:#fff6ef;padding:8px 14px;margin:12px 0}.caution li{margin:3px 0}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(255px,1fr));gap:10px}
.card{border:1px solid #d5d5d5;border-radius:6px;padding:8px 10px;break-inside:avoid}
.card h3{font-size:14px;margin:0}.card .at{color:#0072b2}.card svg{display:block;width:100%;height:110px;margin:6px 0}
.card dl{display:grid;grid-template-columns:auto 1fr;gap:0 10px;margin:0;font-size:12px}.card dt{color:#666}.card dd{margin:0;text-align:right;font-variant-numeric:tabular-nums}
.card .warn{color:#a34700;font-size:12px;margin:5px 0 0}.owned{background:#f2f8f5}
@media print{body{margin:0;max-width:none;font-size:11px}.card svg{height:80px}}
)";

// Flattened: the picture is a thumbnail, the drawing is in the DXF.
void append_path(std::string& html, const ClosedArcPath& path, Vec2 origin, double chord_error) {
  const std::vector<Vec2> points = flattened(path, Millimetres(chord_error));
  for (std::size_t i = 0; i < points.size(); ++i) {
    html +=
        fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : " ", points[i].x - origin.x, origin.y - points[i].y);
  }
  html += "Z";
}

std::string picture(const PlannedDie& die) {
  const Box2 box = die.facts.box.grown(2.0);
  const Vec2 origin{box.low.x, box.high.y};
  const double coarse = std::max(box.width(), box.height()) / 600.0;
  std::string html = fmt::format(
      "<svg viewBox=\"0 0 {:.1f} {:.1f}\" role=\"img\" aria-label=\"outline of the die\">"
      "<path fill=\"#e8f1f7\" fill-rule=\"evenodd\" stroke=\"#1b1b1b\" stroke-width=\"1\" "
      "vector-effect=\"non-scaling-stroke\" d=\"",
      box.width(), box.height());
  append_path(html, die.shape.cut.path, origin, coarse);
  for (const ClosedArcPath& cut_out : die.shape.cut_outs) append_path(html, cut_out, origin, coarse);
  html += "\"/>";
  for (const GradedHole& hole : die.shape.holes) {
    html += fmt::format(
        "<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"{:.1f}\" fill=\"{}\" stroke=\"#1b1b1b\" "
        "stroke-width=\"0.6\" vector-effect=\"non-scaling-stroke\"/>",
        hole.centre.x - origin.x, origin.y - hole.centre.y, std::max(hole.radius, coarse),
        hole.radius > 0.0 ? "#fff" : "#d55e00");
  }
  for (const GradedLine& mark : die.shape.marks) {
    if (mark.path.vertices.empty()) continue;
    const Vec2 a = mark.path.vertices.front().at;
    const Vec2 b = mark.path.vertices.back().at;
    html += fmt::format(
        "<path fill=\"none\" stroke=\"#d55e00\" stroke-width=\"1.4\" vector-effect=\"non-scaling-stroke\" "
        "d=\"M{:.1f} {:.1f}L{:.1f} {:.1f}\"/>",
        a.x - origin.x, origin.y - a.y, b.x - origin.x, origin.y - b.y);
  }
  return html + "</svg>";
}

std::string maybe(const MaybeLength& length) {
  return length ? fmt::format("{:.2f} mm", length->value) : "none";
}

void append_card(std::string& html, const DieOrder& order, const DieOrderLine& line, const PlannedDie& die) {
  const DieFacts& facts = die.facts;
  html += fmt::format("<div class=\"card{}\"><h3>{} &middot; {} <span class=\"at\">{}</span></h3>",
                      die.owned ? " owned" : "", xml_escaped(line.number), xml_escaped(line.piece),
                      xml_escaped(line.drawn_as));
  html += picture(die) + "<dl>";
  const auto row = [&](const char* what, const std::string& value) {
    html += fmt::format("<dt>{}</dt><dd>{}</dd>", what, xml_escaped(value));
  };
  row("serves", line.serves);
  row("hands", name_of(die.hands.mode));
  row("why", die.hands.why);
  row("dies to make", die.owned ? "none, already owned" : fmt::format("{}", line.to_make));
  row("cut per pair of boots", fmt::format("{}", line.per_pair));
  row("rule outside + inside", fmt::format("{:.1f} + {:.1f} mm", facts.rule_outer, facts.rule_inner));
  row("rule height", fmt::format("{:.1f} mm", line.rule_height));
  row("box", fmt::format("{:.1f} x {:.1f} mm", facts.box.width(), facts.box.height()));
  row("area", fmt::format("{:.1f} cm²", facts.area / 100.0));
  row("least radius out / in",
      maybe(facts.smallest_radius_outside) + " / " + maybe(facts.smallest_radius_inside));
  if (facts.sharpest)
    row("sharpest corner",
        fmt::format("{:.1f}° of {} corners", to_degrees(facts.sharpest->inside), facts.corners.size()));
  if (facts.hole_to_edge) row("hole to rule", maybe(facts.hole_to_edge));
  row("punches, pricks, nicks", fmt::format("{}, {}, {}", facts.punches, facts.pricks, facts.nicks));
  if (!line.material.empty()) row("material", line.material);
  if (die.serves.size() > 1 || die.between || die.owned) {
    row("greatest deviation",
        fmt::format("{:.3f} mm, {:.0f} % of tolerance", die.worst_deviation, 100.0 * die.worst_ratio));
  }
  if (order.priced) row("price", fmt::format("{:.2f} {}", line.total, order.currency));
  html += "</dl>";
  for (const DieFinding& finding : die.findings) {
    html += fmt::format("<p class=\"warn\">{} {:.2f} {}, limit {:.2f} ({})</p>", xml_escaped(finding.check),
                        finding.value, finding.unit, finding.limit.value, name_of(finding.limit.provenance));
  }
  html += "</div>\n";
}

void append_table(std::string& html, const Table& table) {
  html += "<table><tr>";
  for (const TableColumn& column : table.columns) html += "<th>" + xml_escaped(column.title) + "</th>";
  html += "</tr>\n";
  for (const std::vector<TableCell>& row : table.rows) {
    html += "<tr>";
    for (std::size_t c = 0; c < row.size(); ++c) {
      std::string shown;
      if (const auto* words = std::get_if<std::string>(&row[c].value)) shown = *words;
      if (const auto* count = std::get_if<std::int64_t>(&row[c].value)) shown = fmt::format("{}", *count);
      if (const auto* value = std::get_if<double>(&row[c].value))
        shown = with_decimals(*value, table.columns[c].decimals);
      html += "<td>" + xml_escaped(shown) + "</td>";
    }
    html += "</tr>\n";
  }
  html += "</table>\n";
}

void append_limits(std::string& html, const DieLimits& limits) {
  Table table;
  table.columns = {{"limit", 12, 0}, {"value", 12, 2}, {"standing", 12, 0}, {"source", 12, 0}};
  const auto row = [&](const char* name, const DieLimit& limit) {
    table.rows.push_back({{std::string(name), {}},
                          {limit.value, {}},
                          {std::string(name_of(limit.provenance)), {}},
                          {limit.source, {}}});
  };
  row("gap between rules, mm", limits.rule_gap);
  row("neck or slot, mm", limits.slot);
  row("bend radius, mm", limits.bend_radius);
  row("punch diameter, mm", limits.smallest_punch);
  row("hole to rule or hole, mm", limits.hole_to_edge);
  row("shortest straight, mm", limits.shortest_straight);
  row("corner inside, deg", limits.inside_corner);
  row("corner outside, deg", limits.outside_corner);
  row("tangent break, deg", limits.tangent_break);
  append_table(html, table);
}

}  // namespace

std::string die_order_page(const DieOrder& order, const DiePlan& plan, const DieRules& rules) {
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Die order: " +
                     xml_escaped(order.style) + "</title><style>" + kStyle + "</style></head><body>\n";
  html += "<h1>Die order: " + xml_escaped(order.style) + "</h1><p class=\"sub\">" + xml_escaped(order.works) +
          "</p>\n";
  html += "<div class=\"facts\">";
  const auto fact = [&](const std::string& value, const char* what) {
    html += fmt::format("<div class=\"fact\"><b>{}</b>{}</div>", xml_escaped(value), what);
  };
  fact(fmt::format("{}", order.totals.dies), "dies to make");
  fact(fmt::format("{}", plan.dies_without), "with one for every size and width");
  fact(fmt::format("{:.1f} m", (order.totals.rule_outer + order.totals.rule_inner) / 1000.0), "of rule");
  fact(plan.proven ? "proven" : fmt::format("at least {:.0f}", plan.bound), "to be the least");
  fact(fmt::format("{:.2f} mm", plan.worst_seam), "greatest seam difference as served");
  if (order.priced) fact(fmt::format("{:.2f} {}", order.totals.price, order.currency), "by the rates given");
  html += "</div>\n<div class=\"caution\"><b>Cautions</b><ul>";
  for (const std::string& caution : die_cautions()) html += "<li>" + xml_escaped(caution) + "</li>";
  html += "</ul></div>\n";
  for (const std::string& note : plan.notes) html += "<p>" + xml_escaped(note) + "</p>\n";
  html += "<h2>Pieces</h2>\n";
  append_table(html, die_piece_table(plan));
  if (!plan.curve.empty()) {
    html += "<h2>What tolerance buys</h2>\n";
    append_table(html, die_curve_table(plan));
  }
  html += "<h2>Limits of the die-making checks</h2>\n";
  append_limits(html, rules.limits);
  html += "<h2>Dies</h2>\n<div class=\"cards\">\n";
  for (const DieOrderLine& line : order.lines) append_card(html, order, line, plan.dies[line.die]);
  html += "</div>\n</body></html>\n";
  return html;
}

}  // namespace lastwright
