#include "cli/report/die_order_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/report/die_tables.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/io/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr const char* kStyle = R"(
body{font:14px/1.45 system-ui,sans-serif;color:#1b1b1b;background:#fff;margin:24px auto;max-width:1280px;padding:0 16px}
h1{font-size:24px;margin:0}h2{font-size:17px;margin:28px 0 8px}p.sub{color:#555;margin:2px 0 14px}p.how{max-width:75ch;margin:4px 0 10px}
.facts{display:flex;flex-wrap:wrap;gap:10px;margin:14px 0}
.fact{border:1px solid #d5d5d5;border-radius:6px;padding:8px 14px}.fact b{display:block;font-size:20px}
.wide{overflow-x:auto}
table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{padding:3px 12px 3px 0;border-bottom:1px solid #e2e2e2;text-align:left;vertical-align:top;font-weight:400}
thead th{color:#555;font-weight:600;vertical-align:bottom;border-bottom:1px solid #999}.n{text-align:right}
tbody tr:hover{background:#f4f8fb}
.dies{font-size:13px;width:100%}.dies td{white-space:nowrap}.dies td:nth-child(4),.dies td:nth-child(6){white-space:normal}.dies td:nth-child(4){min-width:15ch}.dies :is(td,th):nth-child(10){text-align:right}
.caution,.failed,.mind{border-left:5px solid #d55e00;background:#fff6ef;padding:8px 14px;margin:12px 0}.caution li{margin:3px 0}.caution ul{margin:4px 0;padding-left:20px}
.failed{border-color:#a3001e;background:#fdeef0}.failed h2{margin:0 0 6px;color:#a3001e}
.mind{border-color:#c9a400;background:#fdfaec}.mind h2{margin:0 0 6px}
.ask{display:inline-block;margin:0 0 10px;color:#555}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(270px,1fr));gap:10px}
.card{border:1px solid #d5d5d5;border-radius:6px;padding:8px 10px;break-inside:avoid;content-visibility:auto;contain-intrinsic-size:auto 440px}
.card h3{font-size:14px;margin:0}.card .at{color:#0072b2}.card svg{display:block;width:100%;height:120px;margin:6px 0}
.card dl{display:grid;grid-template-columns:max-content 1fr;gap:0 12px;margin:0;font-size:12px}.card dt{color:#666}.card dd{margin:0;text-align:right;font-variant-numeric:tabular-nums}
.card .warn{color:#a34700;font-size:12px;margin:5px 0 0}.owned{background:#f2f8f5}
@page{size:A4 landscape;margin:11mm}
@media print{body{margin:0;padding:0;max-width:none;font-size:10.5px}.dies{font-size:9px}.wide{overflow:visible}.card svg{height:80px}.card{content-visibility:visible}
tr,.fact{break-inside:avoid}th,td{padding:1px 8px 1px 0}.ask,#with-cards{display:none}#with-cards:not(:checked)~.cards,#with-cards:not(:checked)~p{display:none}h2{break-after:avoid}}
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
  const DieShape shape = placed(die.shape, Placement{die.lay, {}});
  const Box2 box = bounds(shape.cut.path).grown(2.0);
  const Vec2 origin{box.low.x, box.high.y};
  const double coarse = std::max(box.width(), box.height()) / 600.0;
  std::string html = fmt::format(
      "<svg viewBox=\"0 0 {:.1f} {:.1f}\" role=\"img\" aria-label=\"outline of the die\">"
      "<path fill=\"#e8f1f7\" fill-rule=\"evenodd\" stroke=\"#1b1b1b\" stroke-width=\"1\" "
      "vector-effect=\"non-scaling-stroke\" d=\"",
      box.width(), box.height());
  append_path(html, shape.cut.path, origin, coarse);
  for (const ClosedArcPath& cut_out : shape.cut_outs) append_path(html, cut_out, origin, coarse);
  html += "\"/>";
  for (const GradedHole& hole : shape.holes) {
    html += fmt::format(
        "<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"{:.1f}\" fill=\"{}\" stroke=\"#1b1b1b\" "
        "stroke-width=\"0.6\" vector-effect=\"non-scaling-stroke\"/>",
        hole.centre.x - origin.x, origin.y - hole.centre.y, std::max(hole.radius, coarse),
        hole.radius > 0.0 ? "#fff" : "#d55e00");
  }
  for (const GradedLine& mark : with_size_marks(shape).marks) {
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

std::string or_none(const MaybeLength& length) {
  return length ? fmt::format("{:.2f} mm", length->value) : "none";
}

std::string to_make_text(const PlannedDie& die, const DieOrderLine& line) {
  if (!die.owned) return fmt::format("{}", line.to_make);
  if (line.to_make == 0) {
    return "none, owned: " + line.owned +
           (die.hands.mode == HandMode::kTwoEdged ? " (see that it has two edges)" : "");
  }
  return fmt::format("1, the {}; owned: {}", die.make_drawn ? "one as drawn" : "mirrored one", line.owned);
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
  row("dies to make", to_make_text(die, line));
  row("cut per pair of boots", fmt::format("{}", line.per_pair));
  row("rule outside + inside", fmt::format("{:.1f} + {:.1f} mm", facts.rule_outer, facts.rule_inner));
  row("rule height",
      line.rule_height ? fmt::format("{:.1f} mm", *line.rule_height) : "not known: measure the die");
  row("box", fmt::format("{:.1f} × {:.1f} mm", die.box_length, die.box_width));
  row("area", fmt::format("{:.1f} cm²", facts.area / 100.0));
  row("least radius out / in",
      or_none(facts.smallest_radius_outside) + " / " + or_none(facts.smallest_radius_inside));
  if (facts.sharpest) {
    const double inside = to_degrees(facts.sharpest->inside);
    row("sharpest corner", fmt::format("{:.1f}°{} of {} corners", inside > 180.0 ? 360.0 - inside : inside,
                                       inside > 180.0 ? " into the piece," : "", facts.corners.size()));
  }
  if (facts.hole_to_edge) row("hole to rule", or_none(facts.hole_to_edge));
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

// One row a die: what is printed unless cards are asked for.
Table short_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "dies";
  table.columns = {{"die"},
                   {"piece"},
                   {"drawn as"},
                   {"serves"},
                   {"hands"},
                   {"dies to make"},
                   {"cut per pair"},
                   {"rule outside, mm", 10, 1},
                   {"inside, mm", 10, 1},
                   {"box, mm"},
                   {"corners"},
                   {"punches"},
                   {"pricks"},
                   {"nicks"},
                   {"rule height, mm", 10, 1},
                   {"deviation, mm", 10, 3}};
  if (order.priced) table.columns.push_back({"price, " + order.currency, 10, 2});
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    const DieFacts& facts = die.facts;
    table.rows.push_back(
        {{line.number},
         {line.piece},
         {line.drawn_as},
         {line.serves},
         {std::string(name_of(die.hands.mode))},
         {die.owned ? TableCell{to_make_text(die, line)} : TableCell{std::int64_t{line.to_make}}},
         {std::int64_t{line.per_pair}},
         {facts.rule_outer},
         {facts.rule_inner},
         {fmt::format("{:.1f} × {:.1f}", die.box_length, die.box_width)},
         {static_cast<std::int64_t>(facts.corners.size())},
         {std::int64_t{facts.punches}},
         {std::int64_t{facts.pricks}},
         {std::int64_t{facts.nicks}},
         line.rule_height ? TableCell{*line.rule_height} : TableCell{std::string("not known")},
         {die.worst_deviation}});
    if (order.priced) table.rows.back().push_back({line.total});
  }
  return table;
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
  row("neck, and width of a cut-out, mm", limits.slot);
  row("rule of a special punch, less than, mm", limits.special_punch);
  row("bend radius, mm", limits.bend_radius);
  row("punch diameter, mm", limits.smallest_punch);
  row("hole to rule or hole, mm", limits.hole_to_edge);
  row("shortest straight, mm", limits.shortest_straight);
  row("opening of a corner into the piece, deg", limits.inside_corner);
  row("corner of the piece, deg", limits.outside_corner);
  row("tangent break, deg", limits.tangent_break);
  html += html_table(table);
}

}  // namespace

std::string die_order_page(const DieOrder& order, const DiePlan& plan, const DieRules& rules) {
  std::string html = "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Die order: " +
                     xml_escaped(order.style) + "</title><style>" + kStyle + "</style></head><body>\n";
  html += "<h1>Die order: " + xml_escaped(order.style) + "</h1><p class=\"sub\">" + xml_escaped(order.works) +
          "</p>\n";
  if (!order.failed.empty()) {
    html += "<div class=\"failed\"><h2>Checks failed: have no die made before they pass</h2>" +
            html_table(failed_checks_table(order)) + "</div>\n";
  }
  html += "<div class=\"facts\">";
  for (const auto& [value, what] : die_facts(order, plan))
    html += fmt::format("<div class=\"fact\"><b>{}</b>{}</div>", xml_escaped(value), xml_escaped(what));
  html += "</div>\n<div class=\"caution\"><b>Cautions</b><ul>";
  for (const std::string& caution : die_cautions()) html += "<li>" + xml_escaped(caution) + "</li>";
  html += "</ul></div>\n";
  for (const std::string& note : order.notes) html += "<p><b>" + xml_escaped(note) + "</b></p>\n";
  for (const std::string& note : plan.notes) html += "<p>" + xml_escaped(note) + "</p>\n";
  html += "<h2>How to read it</h2>\n";
  for (const std::string& note : die_reading_notes())
    html += "<p class=\"how\">" + xml_escaped(note) + "</p>\n";
  const Table findings = gathered_findings_table(order, plan);
  if (!findings.rows.empty()) {
    html +=
        "<div class=\"mind\"><h2>Look at these before making</h2><p class=\"how\">The worst of each piece "
        "and kind of "
        "die-making check; every single one is in die-findings.csv.</p>" +
        html_table(findings) + "</div>\n";
  }
  if (!order.unused.empty())
    html += "<h2>Owned dies that serve no size of this run</h2>\n" + html_table(unused_dies_table(order));
  html += "<h2>Pieces</h2>\n" + html_table(die_piece_table(plan));
  if (!plan.curve.empty()) html += "<h2>What tolerance buys</h2>\n" + html_table(die_curve_table(plan));
  html += "<h2>Limits of the die-making checks</h2>\n";
  append_limits(html, rules.limits);
  html += "<h2>Dies</h2>\n" + html_table(short_table(order, plan), {.classes = "dies"});
  html +=
      "<div><h2>A card for each die</h2>\n<input type=\"checkbox\" id=\"with-cards\"> <label class=\"ask\" "
      "for=\"with-cards\">print the cards too</label>\n<div class=\"cards\">\n";
  for (const DieOrderLine& line : order.lines) append_card(html, order, line, plan.dies[line.die]);
  html += "</div>";
  html += "</div>\n</body></html>\n";
  return html;
}

}  // namespace lastwright
