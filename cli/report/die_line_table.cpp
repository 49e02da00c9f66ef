#include "cli/report/die_line_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <utility>

#include "cli/report/die_cells.hpp"
#include "cli/report/die_notes.hpp"
#include "cli/report/die_words.hpp"

namespace lastwright {

namespace {

TableCell maybe(const MaybeLength& length) {
  return length ? number_cell(length->value) : text_cell("none");
}
TableCell radius(const MaybeLength& length) {
  return length && length->value > kAsStraight ? text_cell("straight: no radius below 1,000 mm")
                                               : maybe(length);
}
TableCell degrees(const std::optional<Corner>& corner) {
  return corner ? number_cell(to_degrees(corner->inside)) : text_cell("none");
}
TableCell special_price_cell(const DieOrder& order, const DieOrderLine& line) {
  if (!order.priced) return text_cell("no rates stated");
  if (line.special_punches == 0) return text_cell("none");
  return order.special_priced ? number_cell(line.special_price) : text_cell("not priced");
}
TableCell or_words(std::string value, const char* words) {
  return text_cell(value.empty() ? std::string(words) : std::move(value));
}

}  // namespace

std::string fact_words(const std::vector<StatedFact>& facts, const std::string& what) {
  const auto found =
      std::find_if(facts.begin(), facts.end(), [&](const StatedFact& fact) { return fact.what == what; });
  return found == facts.end() ? "" : found->words;
}

TableCell rule_height_cell(const DieOrder& order, const DieOrderLine& line) {
  if (line.rule_height && line.height_stated && !line.heights_differ) return number_cell(*line.rule_height);
  return text_cell(fact_words(die_stated(order, line), "rule height"));
}

TableCell rule_thickness_cell(const DieOrder& order, const DieOrderLine& line) {
  if (line.to_make > 0 && order.making.rule_thickness) return number_cell(*order.making.rule_thickness);
  return text_cell(fact_words(die_stated(order, line), "rule thickness"));
}

TableCell layers_cell(const DieOrder& order, const DieOrderLine& line) {
  if (const std::optional<int> stated = layers_of(line)) return whole_cell(*stated);
  return text_cell(fact_words(die_stated(order, line), "layers under a stroke"));
}

TableCell making_cell(const DieOrder& order, const DieOrderLine& line) {
  if (const std::optional<double> stated = making_tolerance_of(line)) return number_cell(*stated);
  return text_cell(fact_words(die_stated(order, line), "making tolerance, either way"));
}

namespace {

TableCell quantity_cell(const DieOrder& order, const DieOrderLine& line) {
  if (line.to_make > 0 && line.quantity_stated) return whole_cell(line.quantity);
  return text_cell(fact_words(die_stated(order, line), "quantity of each die"));
}

// What they are for, and which have no place.
std::string bridges_cell(const DieWork& work) {
  std::string text = bridges_text(work);
  if (text.empty()) text = "none is proposed";
  return work.bridges_missing.empty() ? text : text + "; " + work.bridges_missing;
}

}  // namespace

Table die_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "dies";
  table.filter = true;
  table.fixed_columns = 2;
  table.columns = {{"die", 8, 0},
                   {"piece", 18, 0},
                   {"drawn as", 16, 0},
                   {"serves", 28, 0},
                   {"L or R", 18, 0},
                   {"why", 30, 0},
                   {"stamp", 50, 0},
                   {"stamp on the other foot's", 50, 0},
                   {"stamp of the die that is there", 50, 0},
                   {"dies to make", 8, 0},
                   {"quantity of each die", 16, 0},
                   {"cut per pair, both feet's dies together", 12, 0},
                   {"rule outside, mm", 10, 1},
                   {"rule inside, mm", 10, 1},
                   {"area without holes and cut-outs, mm2", 10, 0},
                   {"box length, mm", 10, 1},
                   {"box width, mm", 10, 1},
                   {"tightest bend outside, mm", 10, 2},
                   {"tightest bend inside, mm", 10, 2},
                   {"corners", 8, 0},
                   {"sharpest corner, deg inside the piece", 10, 1},
                   {"hole to rule, mm", 10, 2},
                   {"cut-outs", 8, 0},
                   {"punches", 8, 0},
                   {"special punches", 8, 0},
                   {"punches, count × diameter", 24, 0},
                   {"pricks", 8, 0},
                   {"nicks", 8, 0},
                   {"nicks, form and depth", 40, 0},
                   {"joint proposed", 30, 0},
                   {"bridges proposed", 8, 0},
                   {"what bridges are for", 30, 0},
                   {"where bridges lie", 30, 0},
                   {"material", 24, 0},
                   {"rule height, mm", 30, 1},
                   {"rule height of the die that is there", 30, 0},
                   {"rule thickness, mm", 30, 2},
                   {"bevel", 30, 0},
                   {"handle", 24, 0},
                   {"making tolerance, either way, mm", 30, 2},
                   {"layers under a stroke", 30, 0},
                   {"cutting edges", 24, 0},
                   {"order number", 16, 0},
                   {"date", 16, 0},
                   {"contact", 24, 0},
                   {"delivery wanted", 16, 0},
                   {"weight of one, kg", 12, 2},
                   {"greatest deviation, mm", 10, 3},
                   {"part of tolerance used", 10, 2},
                   {"price of one", 10, 2},
                   {"price", 10, 2},
                   {"of the price of one, special punches", 20, 2},
                   {"already owned", 20, 0},
                   {"findings to look at", 10, 0},
                   {"notes of the order", 30, 0}};
  const std::vector<StatedFact> head = head_stated(order.head);
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    const DieFacts& facts = die.facts;
    const std::vector<StatedFact> stated = die_stated(order, line);
    table.rows.push_back({text_cell(line.number),
                          text_cell(line.piece),
                          text_cell(line.drawn_as),
                          text_cell(line.serves),
                          text_cell(to_make_text(die, line)),
                          text_cell(die.hands.why),
                          text_cell(line.stamp_drawn),
                          or_words(line.stamp_mirrored, "none: one die cuts both feet"),
                          text_cell(stamps_there(line)),
                          whole_cell(line.to_make),
                          quantity_cell(order, line),
                          whole_cell(line.per_pair),
                          number_cell(facts.rule_outer),
                          number_cell(die.work.rule_inner),
                          number_cell(facts.area),
                          number_cell(die.box_length),
                          number_cell(die.box_width),
                          radius(facts.smallest_radius_outside),
                          radius(facts.smallest_radius_inside),
                          whole_cell(static_cast<std::int64_t>(facts.corners.size())),
                          degrees(facts.sharpest),
                          maybe(facts.hole_to_edge),
                          whole_cell(facts.cut_outs),
                          whole_cell(facts.punches),
                          whole_cell(line.special_punches),
                          or_words(punches_text(die.work), "none"),
                          whole_cell(facts.pricks),
                          whole_cell(facts.nicks),
                          or_words(nicks_words(die), "none"),
                          or_words(joint_text(die.work), "none"),
                          whole_cell(line.bridges),
                          TableCell{bridges_cell(die.work)},
                          or_words(fact_words(stated, "where bridges lie"),
                                   line.bridges == 0 ? "none is proposed" : "that of the die that is there"),
                          text_cell(fact_words(stated, "material")),
                          rule_height_cell(order, line),
                          text_cell(heights_there(line)),
                          rule_thickness_cell(order, line),
                          text_cell(fact_words(stated, "bevel")),
                          text_cell(fact_words(stated, "handle")),
                          making_cell(order, line),
                          layers_cell(order, line),
                          text_cell(fact_words(stated, "cutting edges")),
                          text_cell(head[0].words),
                          text_cell(head[1].words),
                          text_cell(head[2].words),
                          text_cell(head[3].words),
                          line.weight ? number_cell(*line.weight) : text_cell("not stated"),
                          number_cell(die.worst_deviation),
                          number_cell(die.worst_ratio),
                          order.priced ? number_cell(line.price) : text_cell("no rates stated"),
                          order.priced ? number_cell(line.total) : text_cell("no rates stated"),
                          special_price_cell(order, line),
                          or_words(line.owned, "no"),
                          whole_cell(static_cast<std::int64_t>(die.findings.size())),
                          text_cell(std::string("in ") + kDieNotesFile + ", findings in die-findings.csv")});
  }
  return with_checks(std::move(table), order);
}

}  // namespace lastwright
