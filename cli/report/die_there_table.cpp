#include "cli/report/die_there_table.hpp"

#include <fmt/format.h>

#include <string>

#include "cli/report/die_cells.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

namespace {

std::string stamp_now(const DieThere& one) {
  if (one.bears.empty()) return "not known: see that it bears what it is to bear";
  return one.keeps ? "keeps its stamp" : one.restamp() ? "restamp" : "stands";
}

std::string taken(const std::string& words, bool assumed) {
  return words.empty() ? "not known" : assumed ? words + ", taken in its own order" : words;
}

template <class T>
std::string known(const std::optional<T>& value) {
  return value ? fmt::format("{}", *value) : std::string("not known");
}

std::string listed(const std::vector<std::string>& words) {
  return words.empty() ? "nothing" : fmt::format("{}", fmt::join(words, "; "));
}

}  // namespace

Table dies_there_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "dies there";
  table.filter = true;
  table.columns = {{"die", 12, 0},
                   {"L or R", 8, 0},
                   {"piece", 20, 0},
                   {"die of the order", 12, 0},
                   {"outline", 24, 0},
                   {"serves", 24, 0},
                   {"stamp", 16, 0},
                   {"bears", 44, 0},
                   {"is to bear", 44, 0},
                   {"there", 8, 0},
                   {"asked for", 8, 0},
                   {"rule height, mm", 14, 0},
                   {"bevel", 16, 0},
                   {"making tolerance, mm", 12, 0},
                   {"layers under a stroke", 12, 0},
                   {"its number", 24, 0},
                   {"its drawing says otherwise", 44, 0},
                   {"left out of its drawing", 30, 0}};
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    for (const DieThere& one : line.there) {
      const std::string drawn = die.turned || die.other_turned ? ", drawn the other way round now" : "";
      table.rows.push_back(
          {text_cell(one.number), text_cell(one.hand.empty() ? "as drawn" : one.hand), text_cell(line.piece),
           text_cell(line.number),
           text_cell((die.seams_estimated ? "none of the grade, nearest " : "") + line.drawn_as + drawn),
           text_cell(line.serves), text_cell(stamp_now(one)),
           text_cell(one.bears.empty() ? "not known" : one.bears), text_cell(one.stamp),
           whole_cell(one.quantity), whole_cell(line.quantity),
           text_cell(taken(one.rule_height ? known(one.rule_height) : "", one.height_assumed)),
           text_cell(taken(one.bevel, one.bevel_assumed)), text_cell(known(one.making_tolerance)),
           text_cell(known(one.layers_per_stroke)),
           text_cell(line.renumbered.empty() ? "stands" : "a new one, as " + line.renumbered),
           text_cell(listed(one.contradicts)), text_cell(listed(one.left_out))});
    }
  }
  return table;
}

}  // namespace lastwright
