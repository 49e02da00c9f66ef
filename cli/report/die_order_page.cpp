#include "cli/report/die_order_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_line_table.hpp"
#include "cli/report/die_notes.hpp"
#include "cli/report/die_punch_tables.hpp"
#include "cli/report/die_tables.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/die_words.hpp"
#include "cli/report/html_table.hpp"
#include "cli/report/page_foot.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/dies/order/die_stated.hpp"

namespace lastwright {

namespace {

constexpr const char* kStyle = R"(
:root{color-scheme:light dark;--ink:#1b1b1b;--ground:#fff;--soft:#555;--line:#d5d5d5;--head:#999;--over:#f4f8fb;--place:#0072b2;--leather:#e8f1f7;--mark:#d55e00;--warn:#a34700;--own:#f2f8f5;--care:#fff6ef;--bad:#a3001e;--bad-ground:#fdeef0;--look:#c9a400;--look-ground:#fdfaec}
@media screen and (prefers-color-scheme:dark){:root{--ink:#e8e8e8;--ground:#16191c;--soft:#aab0b6;--line:#3a4046;--head:#6b737b;--over:#20262c;--place:#6cb8e6;--leather:#22333f;--mark:#ff9a4d;--warn:#ffb27a;--own:#1b2a24;--care:#2e221a;--bad:#ff7b92;--bad-ground:#331a20;--look:#c9a400;--look-ground:#2a2716}}
body{font:14px/1.45 system-ui,sans-serif;color:var(--ink);background:var(--ground);margin:24px auto;max-width:1280px;padding:0 16px}
h1{font-size:24px;margin:0}h2{font-size:17px;margin:28px 0 8px}p.sub{color:var(--soft);margin:2px 0 14px}p.how{max-width:75ch;margin:4px 0 10px}
.facts{display:flex;flex-wrap:wrap;gap:10px;margin:14px 0}
.fact{border:1px solid var(--line);border-radius:6px;padding:8px 14px}.fact b{display:block;font-size:20px}
.wide{overflow-x:auto}
table{border-collapse:collapse;font-variant-numeric:tabular-nums}
th,td{padding:3px 12px 3px 0;border-bottom:1px solid var(--line);text-align:left;vertical-align:top;font-weight:400}
thead th{color:var(--soft);font-weight:600;vertical-align:bottom;border-bottom:1px solid var(--head)}.n{text-align:right}
tbody tr:hover{background:var(--over)}
.dies{font-size:13px;width:100%}.dies th{white-space:nowrap}.dies thead th{white-space:normal}.dies td:nth-child(3),.dies td:nth-child(7){white-space:nowrap}.dies td:nth-child(2){min-width:26ch}.dies td:nth-child(10),.dies td:nth-child(11){min-width:20ch}.dies :is(td,th).n+:is(td,th):not(.n){padding-left:10px}
.caution,.failed,.mind{border-left:5px solid var(--mark);background:var(--care);padding:8px 14px;margin:12px 0}.caution li{margin:3px 0}.caution ul{margin:4px 0;padding-left:20px}
.failed{border-color:var(--bad);background:var(--bad-ground)}.failed h2{margin:0 0 6px;color:var(--bad)}
.mind{border-color:var(--look);background:var(--look-ground)}.mind h2{margin:0 0 6px}.mind .how{break-after:avoid}
.ask{display:inline-block;margin:0 0 10px;color:var(--soft)}#with-cards{margin-top:28px}
.cards{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(340px,100%),1fr));gap:12px}
.card{border:1px solid var(--line);border-radius:6px;padding:8px 10px;break-inside:avoid;content-visibility:auto;contain-intrinsic-size:auto 620px}
.card h3{font-size:14px;margin:0}.card .at{color:var(--place)}.card svg{display:block;width:100%;height:200px;margin:6px 0}
.card dl{display:grid;grid-template-columns:fit-content(42%) 1fr;gap:1px 12px;margin:0;font-size:12px}.card dt{color:var(--soft)}.card dd{margin:0;font-variant-numeric:tabular-nums;overflow-wrap:break-word;min-width:0}
.card .warn{color:var(--warn);font-size:12px;margin:5px 0 0}.owned{background:var(--own)}
.cut{fill:var(--leather);stroke:var(--ink)}.hole{fill:var(--ground);stroke:var(--ink)}.prick{fill:var(--mark);stroke:none}.nick{fill:none;stroke:var(--mark)}.joint{fill:none;stroke:var(--place)}.bridge{fill:none;stroke:var(--place);stroke-dasharray:4 3}
@media screen{td.long{min-width:18rem}}.mind thead,.mind tbody tr:first-child{break-after:avoid}
@media (max-width:40rem){table:not(.dies){font-size:12px;line-height:1.3}th,td{padding:3px 7px 3px 0}thead th{hyphens:auto}.mind,.failed{padding:8px}body{margin:12px auto;padding:0 10px}.facts{gap:6px}.fact{padding:5px 9px}.fact b{font-size:17px}}
@page{size:A4 landscape;margin:11mm 11mm 14mm}
@media print{body{margin:0;padding:0;max-width:none;font-size:10.5px}.dies{font-size:8.5px}.wide{overflow:visible}thead{display:table-header-group}
.cards{grid-template-columns:1fr 1fr}.card{content-visibility:visible}.card svg{height:54mm}#with-cards~h2{break-before:page}.card dl{font-size:9.5px}
tr,.fact{break-inside:avoid}th,td{padding:1px 7px 1px 0}.ask,#with-cards{display:none}#with-cards:not(:checked)~*{display:none}h2,.how:has(+.wide){break-after:avoid}.mind,.caution,.failed,.wide:not(:has(tbody tr:nth-child(26))){break-inside:avoid}}
)";

// On every printed page: whose order it is.
std::string page_style(const DieOrder& order) {
  return page_foot_style((order.failed.empty() ? "Die order: " : "CHECKS FAILED. Die order: ") + order.style +
                         "; " + head_text(order));
}

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
      "<path class=\"cut\" fill-rule=\"evenodd\" stroke-width=\"1\" "
      "vector-effect=\"non-scaling-stroke\" d=\"",
      box.width(), box.height());
  append_path(html, shape.cut.path, origin, coarse);
  for (const ClosedArcPath& cut_out : shape.cut_outs) append_path(html, cut_out, origin, coarse);
  html += "\"/>";
  for (const GradedHole& hole : shape.holes) {
    html += fmt::format(
        "<circle class=\"{}\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"{:.1f}\" stroke-width=\"0.6\" "
        "vector-effect=\"non-scaling-stroke\"/>",
        hole.radius > 0.0 ? "hole" : "prick", hole.centre.x - origin.x, origin.y - hole.centre.y,
        std::max(hole.radius, coarse));
  }
  const auto line = [&](const char* kind, Vec2 a, Vec2 b) {
    html += fmt::format(
        "<path class=\"{}\" stroke-width=\"1.4\" vector-effect=\"non-scaling-stroke\" d=\"M{:.1f} "
        "{:.1f}L{:.1f} "
        "{:.1f}\"/>",
        kind, a.x - origin.x, origin.y - a.y, b.x - origin.x, origin.y - b.y);
  };
  for (const GradedLine& mark : with_size_marks(shape).marks) {
    for (std::size_t i = 0; i < mark.path.size(); ++i)
      line("nick", mark.path.segment(i).a, mark.path.segment(i).b);
  }
  const auto laid = [&](Vec2 p) { return placed(p, Placement{die.lay, {}}); };
  for (const Bridge& bridge : die.work.bridges) line("bridge", laid(bridge.from), laid(bridge.to));
  if (die.work.joint) {
    const Vec2 across = 3.0 * left_of(die.work.joint->along);
    line("joint", laid(die.work.joint->at - across), laid(die.work.joint->at + across));
  }
  return html + "</svg>";
}

std::string or_none(const MaybeLength& length) {
  return length ? fmt::format("{:.2f} mm", length->value) : "none";
}

std::string radius_text(const MaybeLength& radius) {
  return radius && radius->value > kAsStraight ? "straight: no radius below 1,000 mm" : or_none(radius);
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
  row("serves", stamped_sizes(line));
  row("dies to make", to_make_text(die, line));
  row("why", die.hands.why);
  row(line.stamp_mirrored.empty() ? "stamp" : "stamp on the one as drawn", line.stamp_drawn);
  if (!line.stamp_mirrored.empty()) row("stamp on the other", line.stamp_mirrored);
  if (!line.there.empty()) row("stamp of the die that is there", stamps_there(line));
  row("cut per pair", cut_words(die, line));
  row("rule outside + inside",
      fmt::format("{} + {} mm", with_thousands(facts.rule_outer, 1), with_thousands(die.work.rule_inner, 1)));
  for (const StatedFact& fact : die_stated(order, line)) row(fact.what.c_str(), fact.words);
  if (line.weight) row("weight of the rule", fmt::format("{:.2f} kg", *line.weight));
  row("box", fmt::format("{:.1f} × {:.1f} mm", die.box_length, die.box_width));
  row("area without holes and cut-outs", fmt::format("{:.1f} cm²", facts.area / 100.0));
  row("tightest bend outside / inside",
      radius_text(facts.smallest_radius_outside) + " / " + radius_text(facts.smallest_radius_inside));
  if (facts.sharpest) {
    const double inside = to_degrees(facts.sharpest->inside);
    row("sharpest corner",
        fmt::format("{:.1f}° inside the piece{}, of {}", inside, inside > 180.0 ? " (it points into it)" : "",
                    counted(facts.corners.size(), "corner")));
  }
  if (facts.hole_to_edge) row("hole to rule", or_none(facts.hole_to_edge));
  if (const std::string punches = punches_text(die.work); !punches.empty()) row("punches", punches);
  if (facts.pricks > 0) row("pricks", fmt::format("{}", facts.pricks));
  if (const std::string nicks = nicks_words(die); !nicks.empty()) row("nicks", nicks);
  if (die.work.joint) row("joint, proposed", joint_text(die.work));
  if (!die.work.bridges.empty()) row("bridges, proposed", bridges_text(die.work));
  if (!die.work.bridges_missing.empty()) row("bridges without a place", die.work.bridges_missing);
  if (line.drawn_as != stamped_sizes(line) || die.owned) {
    row("greatest deviation",
        fmt::format("{:.3f} mm, {:.0f} % of tolerance", die.worst_deviation, 100.0 * die.worst_ratio));
  }
  if (order.priced && line.to_make > 0) {
    row("price of a die", fmt::format("{} {}", with_thousands(line.price, 2), order.currency));
    if (line.special_punches > 0)
      row("of it for special punches",
          order.special_priced ? fmt::format("{} {}", with_thousands(line.special_price, 2), order.currency)
                               : std::string("not priced"));
    if (line.to_make > 1)
      row(line.quantity > 1 ? "price of all of them" : "price of the pair",
          fmt::format("{} {}", with_thousands(line.total, 2), order.currency));
  }
  html += "</dl>";
  for (const GatheredFinding& kind : gathered(die.findings)) {
    html += fmt::format("<p class=\"warn\">Look at: {}, {}</p>", xml_escaped(finding_words(kind)),
                        name_of(kind.worst->limit.provenance));
  }
  html += "</div>\n";
}

// Of each die the page says above, and its card, why a height is not stated.
TableCell short_height(const DieOrder& order, const DieOrderLine& line) {
  if (line.there.empty() && !line.height_stated) return {fmt::format("{:g}, not stated", line.height_asked)};
  return rule_height_cell(order, line);
}

// One row a die: what is printed unless cards are asked for.
Table short_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "dies";
  table.columns = {{"die"},
                   {"stamp, then L or R and the number (in brackets: not stamped)"},
                   {"dies to make"},
                   {"cut per pair, L and R together"},
                   {"rule outside, mm", 10, 1},
                   {"inside, mm", 10, 1},
                   {"box, mm"},
                   {"corners"},
                   {"pricks"},
                   {"punches"},
                   {"nicks"},
                   {"bridges"},
                   {"rule height, mm", 10, 1},
                   {"cutting edges"},
                   {"material"},
                   {"deviation, mm", 10, 3}};
  const bool weights = std::any_of(order.lines.begin(), order.lines.end(),
                                   [](const DieOrderLine& line) { return line.weight.has_value(); });
  // What holds for all dies stands above the table.
  const auto own = [&](const auto& stated_of, const auto& of_all) {
    return std::any_of(order.lines.begin(), order.lines.end(),
                       [&](const DieOrderLine& line) { return stated_of(line) != of_all; });
  };
  const bool making = own(making_tolerance_of, order.making.making_tolerance);
  const bool layers = own(layers_of, order.making.layers_per_stroke);
  if (making) table.columns.push_back({"making tolerance, either way, mm", 10, 2});
  if (layers) table.columns.push_back({"layers under a stroke", 10, 0});
  if (weights) table.columns.push_back({"weight of a die, kg", 10, 2});
  if (order.priced) {
    table.columns.push_back({"price of a die, " + order.currency, 10, 2});
    table.columns.push_back({"price of the row, " + order.currency, 10, 2});
  }
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    const DieFacts& facts = die.facts;
    table.rows.push_back(
        {{line.number},
         {fmt::format("{} / {} / {}{}", order.style, line.piece, stamped_sizes(line),
                      line.drawn_as == stamped_sizes(line) ? "" : " (drawn as " + line.drawn_as + ")")},
         {to_make_text(die, line)},
         {std::int64_t{line.per_pair}},
         {facts.rule_outer},
         {die.work.rule_inner},
         {fmt::format("{:.1f} × {:.1f}", die.box_length, die.box_width)},
         {static_cast<std::int64_t>(facts.corners.size())},
         {std::int64_t{facts.pricks}},
         {punches_text(die.work)},
         {nicks_words(die)},
         {static_cast<std::int64_t>(die.work.bridges.size())},
         short_height(order, line),
         {std::int64_t{line.two_edged ? 2 : 1}},
         {fact_words(die_stated(order, line), "material")},
         {die.worst_deviation}});
    if (making) table.rows.back().push_back(making_cell(order, line));
    if (layers) table.rows.back().push_back(layers_cell(order, line));
    if (weights) table.rows.back().push_back(line.weight ? TableCell{*line.weight} : TableCell{"not stated"});
    if (order.priced) {
      table.rows.back().push_back(line.to_make > 0 ? TableCell{line.price} : TableCell{"none is made"});
      table.rows.back().push_back({line.total});
    }
  }
  return table;
}

}  // namespace

std::string die_order_page(const DieOrder& order, const DiePlan& plan, const DieRules& rules) {
  std::string html =
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta "
      "name=\"viewport\" content=\"width=device-width,initial-scale=1\"><title>Die order: " +
      xml_escaped(order.style) + "</title><style>" + kStyle + page_style(order) + "</style></head><body>\n";
  html += "<h1>Die order: " + xml_escaped(order.style) + "</h1><p class=\"sub\">" + xml_escaped(order.works) +
          "</p>\n";
  html += "<p class=\"sub\"><b>" + xml_escaped(head_text(order)) + "</b></p>\n";
  if (const std::string missing = not_stated_text(order); !missing.empty())
    html += "<p><b>" + xml_escaped(missing) + "</b></p>\n";
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
  for (const std::string& note : die_reading_notes(order))
    html += "<p class=\"how\">" + xml_escaped(note) + "</p>\n";
  html +=
      "<p class=\"how\">Unless a die says otherwise: " + xml_escaped(in_words(making_stated(order.making))) +
      ".</p>\n";
  const Table findings = gathered_findings_table(order, plan);
  if (!findings.rows.empty()) {
    html +=
        "<div class=\"mind\"><h2>Look at these before making</h2><p class=\"how\">Of dies to make, the worst "
        "of each piece "
        "and kind of "
        "die-making check; every single one is in die-findings.csv.</p>" +
        html_table(findings, {.thousands = true}) + "</div>\n";
  }
  html += "<h2>Pieces</h2>\n" + html_table(die_piece_table(plan), {.thousands = true});
  if (const Table held = die_held_table(plan); !held.rows.empty())
    html += "<h2>" + std::string(kHeldHeading) + "</h2>\n<p class=\"how\">" + xml_escaped(held_note()) +
            "</p>\n" + html_table(held, {.thousands = true});
  if (!plan.curve.empty())
    html += "<h2>What tolerance buys</h2>\n" +
            (curve_note(plan).empty() ? "" : "<p class=\"how\">" + xml_escaped(curve_note(plan)) + "</p>\n") +
            html_table(die_curve_table(plan), {.thousands = true});
  if (const Table punches = short_punches_table(order, plan); !punches.rows.empty())
    html +=
        "<h2>Punches</h2>\n<p class=\"how\">Of all dies to make; which die takes how many of which is in "
        "die-punches.csv.</p>\n" +
        html_table(punches, {.thousands = true});
  html += "<h2>Limits of the die-making checks</h2>\n" + html_table(die_limits_table(rules.limits));
  html += "<h2>Dies</h2>\n" + html_table(short_table(order, plan), {.classes = "dies", .thousands = true});
  if (!order.unused.empty())
    html +=
        "<h2>Owned dies that no size of this run is cut with</h2>\n" + html_table(unused_dies_table(order));
  html +=
      "<div><input type=\"checkbox\" id=\"with-cards\"> <label class=\"ask\" for=\"with-cards\">print the "
      "cards "
      "too</label>\n<h2>A card for each die</h2>\n<p class=\"how\">Orange: nicks. Blue: the proposed joint, "
      "and "
      "broken the proposed bridges.</p>\n<div class=\"cards\">\n";
  for (const DieOrderLine& line : order.lines) append_card(html, order, line, plan.dies[line.die]);
  html += "</div>";
  html += "</div>\n</body></html>\n";
  return html;
}

}  // namespace lastwright
