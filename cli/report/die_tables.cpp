#include "cli/report/die_tables.hpp"

#include <cstdint>

namespace lastwright {

namespace {

TableCell text(std::string value) {
  return {std::move(value), Emphasis::kNone};
}
TableCell whole(std::int64_t value) {
  return {value, Emphasis::kNone};
}
TableCell number(double value) {
  return {value, Emphasis::kNone};
}
TableCell maybe(const MaybeLength& length) {
  return length ? number(length->value) : TableCell{};
}
TableCell degrees(const std::optional<Corner>& corner) {
  return corner ? number(to_degrees(corner->inside)) : TableCell{};
}

}  // namespace

Table die_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "dies";
  table.fixed_columns = 2;
  table.columns = {{"die", 8, 0},
                   {"piece", 18, 0},
                   {"drawn as", 16, 0},
                   {"serves", 28, 0},
                   {"hands", 20, 0},
                   {"why", 30, 0},
                   {"dies to make", 8, 0},
                   {"cut per pair of boots", 8, 0},
                   {"rule outside, mm", 10, 1},
                   {"rule inside, mm", 10, 1},
                   {"area, mm2", 10, 0},
                   {"box length, mm", 10, 1},
                   {"box width, mm", 10, 1},
                   {"least radius outside, mm", 10, 2},
                   {"least radius inside, mm", 10, 2},
                   {"corners", 8, 0},
                   {"sharpest corner, deg", 10, 1},
                   {"hole to rule, mm", 10, 2},
                   {"cut-outs", 8, 0},
                   {"punches", 8, 0},
                   {"pricks", 8, 0},
                   {"nicks", 8, 0},
                   {"material", 24, 0},
                   {"rule height, mm", 8, 1},
                   {"greatest deviation, mm", 10, 3},
                   {"share of tolerance used", 10, 2},
                   {"price of one", 10, 2},
                   {"price", 10, 2},
                   {"already owned", 8, 0}};
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    const DieFacts& facts = die.facts;
    table.rows.push_back({text(line.number),
                          text(line.piece),
                          text(line.drawn_as),
                          text(line.serves),
                          text(name_of(die.hands.mode)),
                          text(die.hands.why),
                          whole(line.to_make),
                          whole(line.per_pair),
                          number(facts.rule_outer),
                          number(facts.rule_inner),
                          number(facts.area),
                          number(facts.box.width()),
                          number(facts.box.height()),
                          maybe(facts.smallest_radius_outside),
                          maybe(facts.smallest_radius_inside),
                          whole(static_cast<std::int64_t>(facts.corners.size())),
                          degrees(facts.sharpest),
                          maybe(facts.hole_to_edge),
                          whole(facts.cut_outs),
                          whole(facts.punches),
                          whole(facts.pricks),
                          whole(facts.nicks),
                          text(line.material),
                          number(line.rule_height),
                          number(die.worst_deviation),
                          number(die.worst_ratio),
                          order.priced ? number(line.price) : TableCell{},
                          order.priced ? number(line.total) : TableCell{},
                          text(die.owned ? "yes" : "")});
  }
  return table;
}

Table die_totals_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "totals";
  table.columns = {{"what", 44, 0}, {"value", 14, 2}, {"unit", 10, 0}};
  const auto row = [&](const char* what, TableCell value, const char* unit) {
    table.rows.push_back({text(what), std::move(value), text(unit)});
  };
  row("dies, one for every size and width", whole(plan.dies_without), "dies");
  row("dies needed with ties", whole(plan.dies_needed), "dies");
  row("of these already owned: lines", whole(order.totals.owned), "lines");
  row("dies to make", whole(order.totals.dies), "dies");
  row("lower bound of what was made least", number(plan.bound), "");
  row("proven least", text(plan.proven ? "yes" : "no"), "");
  row("rule outside", number(order.totals.rule_outer), "mm");
  row("rule inside", number(order.totals.rule_inner), "mm");
  row("corners", whole(order.totals.corners), "");
  row("punches", whole(order.totals.punches), "");
  row("greatest seam difference as served", number(plan.worst_seam), "mm");
  row("seam limit", number(plan.seam_limit), "mm");
  if (order.priced) row("price", number(order.totals.price), order.currency.c_str());
  return table;
}

Table die_piece_table(const DiePlan& plan) {
  Table table;
  table.name = "pieces";
  table.columns = {{"piece", 20, 0},
                   {"sizes and widths", 10, 0},
                   {"outlines chosen", 10, 0},
                   {"outlines if no seam held it", 12, 0},
                   {"dies without ties", 10, 0},
                   {"dies", 10, 0},
                   {"greatest deviation, mm", 12, 3}};
  for (const PieceSummary& piece : plan.pieces) {
    table.rows.push_back({text(piece.name), whole(piece.outlines_without), whole(piece.outlines),
                          whole(piece.alone), whole(piece.dies_without), whole(piece.dies),
                          number(piece.worst_deviation)});
  }
  return table;
}

Table die_curve_table(const DiePlan& plan) {
  Table table;
  table.name = "tolerance";
  table.columns = {{"tolerance, mm", 12, 2},
                   {"dies to make", 12, 0},
                   {"proven least", 12, 0},
                   {"saved by this step", 12, 0}};
  for (std::size_t k = 0; k < plan.curve.size(); ++k) {
    const CurvePoint& point = plan.curve[k];
    table.rows.push_back({number(point.tolerance), whole(point.dies), whole(point.bound),
                          k == 0 ? TableCell{} : whole(plan.curve[k - 1].dies - point.dies)});
  }
  return table;
}

Table die_findings_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "findings";
  table.columns = {{"die", 8, 0},
                   {"piece", 18, 0},
                   {"check", 22, 0},
                   {"value", 10, 3},
                   {"limit", 10, 2},
                   {"unit", 6, 0},
                   {"x, mm", 10, 2},
                   {"y, mm", 10, 2},
                   {"standing of the limit", 18, 0},
                   {"source of the limit", 50, 0}};
  for (const DieOrderLine& line : order.lines) {
    for (const DieFinding& finding : plan.dies[line.die].findings) {
      table.rows.push_back({text(line.number), text(line.piece), text(finding.check), number(finding.value),
                            number(finding.limit.value), text(finding.unit), number(finding.at.x),
                            number(finding.at.y), text(name_of(finding.limit.provenance)),
                            text(finding.limit.source)});
    }
  }
  return table;
}

std::vector<std::string> die_cautions() {
  return {
      "Cutting edges: handle dies with cut-resistant gloves, carry them edge down or covered, and store them "
      "with the edge guarded.",
      "Presses: work only with every guard in place and two-hand control in order; no hand goes under the "
      "beam or between plates, and the drive is isolated before a die is freed.",
      "Set stroke and pressure for the rule height stated here; never put dies of different heights under "
      "one stroke.",
      "Where this sheet and the law, a local code, the machine's own manual or the die maker's advice "
      "differ, they go before it. Leave set-up and repair to people licensed or trained for it.",
      "Cut and check one pair in every size and width a die serves before cutting leather in quantity. A die "
      "that serves several sizes cannot mark the size: mark it another way.",
      "Limits called common practice or from memory have no published source: set your own.",
  };
}

Table die_cautions_table() {
  Table table;
  table.name = "cautions";
  table.columns = {{"caution", 120, 0}};
  for (std::string& caution : die_cautions()) table.rows.push_back({text(std::move(caution))});
  return table;
}

}  // namespace lastwright
