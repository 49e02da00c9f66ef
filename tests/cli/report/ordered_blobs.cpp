#include "tests/cli/report/ordered_blobs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cli/report/die_line_table.hpp"
#include "cli/report/die_order_page.hpp"
#include "cli/report/die_sheet.hpp"
#include "cli/report/die_words.hpp"
#include "cli/tables/table.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/die_stated.hpp"

namespace lastwright::test {

void check_carried(const Ordered& o) {
  const Table table = die_table(o.order, o.plan);
  const std::string page = die_order_page(o.order, o.plan, o.rules);
  const std::string json = die_order_json(o.order, o.plan, std::vector<DieFile>(o.order.lines.size()));
  for (std::size_t k = 0; k < o.order.lines.size(); ++k) {
    const DieOrderLine& line = o.order.lines[k];
    std::vector<StatedFact> facts = die_stated(o.order, line);
    for (const StatedFact& fact : head_stated(o.order.head)) facts.push_back(fact);
    const std::vector<std::string> words = die_words(o.plan.dies[line.die], o.order, line, false);
    const PlannedDie& die = o.plan.dies[line.die];
    const bool pair = die.hands.mode == HandMode::kPair;
    CHECK(std::count(words.begin(), words.end(), "this drawing: as drawn") == (pair ? 1 : 0));
    const std::string scale =
        fmt::format("drawn in millimetres: rule outside {:.1f} mm, inside {:.1f} mm, together {:.1f} mm; box",
                    die.facts.rule_outer, die.work.rule_inner, die.facts.rule_outer + die.work.rule_inner);
    const auto on_drawing = [&](const std::string& what) {
      return std::any_of(words.begin(), words.end(), [&](const std::string& one) { return has(one, what); });
    };
    CHECK(on_drawing(fmt::format("corners: {}", die.facts.corners.size())));
    CHECK(on_drawing(
        fmt::format("cut per pair: {}; an outline it cuts deviates by {:.3f} mm",
                    pair ? fmt::format("{0} with this die, {0} with the other foot's", line.per_pair / 2)
                         : std::to_string(line.per_pair),
                    die.worst_deviation)));
    if (pair)
      CHECK(has(page, fmt::format("<dt>cut per pair</dt><dd>{}, {} with each of its two dies</dd>",
                                  line.per_pair, line.per_pair / 2)));
    CHECK(on_drawing("weight of one die's rule") == line.weight.has_value());
    CHECK(on_drawing("price of one") == (o.order.priced && line.to_make > 0));
    CHECK(on_drawing("pricks: ") == (die.facts.pricks > 0));
    CHECK(std::count_if(words.begin(), words.end(), [](const auto& one) {
            return one.starts_with("look at: ");
          }) == static_cast<long>(gathered(die.findings).size()));
    CHECK(std::any_of(words.begin(), words.end(), [&](const std::string& one) { return has(one, scale); }));
    for (const TableCell& cell : table.rows[k]) {
      CHECK_FALSE(std::holds_alternative<std::monostate>(cell.value));
      CHECK((!std::holds_alternative<std::string>(cell.value) || !std::get<std::string>(cell.value).empty()));
    }
    for (const StatedFact& fact : facts) {
      INFO(line.piece << ": " << in_words(fact));
      CHECK_FALSE(fact.words.empty());
      CHECK(fact.stated == (!has(fact.words, "not stated") && !has(fact.words, "not known")));
      CHECK(std::count(words.begin(), words.end(), in_words(fact)) == 1);
      CHECK((has(page, "<dt>" + fact.what + "</dt><dd>" + xml_escaped(fact.words) + "</dd>") ||
             has(page, xml_escaped(in_words(fact)))));
      std::size_t c = 0;
      while (c < table.columns.size() && table.columns[c].title != fact.what &&
             table.columns[c].title != fact.what + ", mm")
        ++c;
      REQUIRE(c < table.columns.size());
      const auto& cell = table.rows[k][c].value;
      std::string shown;
      if (const auto* length = std::get_if<double>(&cell))
        shown = fmt::format("{} mm", *length);
      else if (const auto* whole = std::get_if<std::int64_t>(&cell))
        shown = fmt::format("{}", *whole);
      else
        shown = std::get<std::string>(cell);
      CHECK(shown == fact.words);
      if (!fact.stated) CHECK(has(json, "\"" + fact.what));
    }
  }
}

}  // namespace lastwright::test
