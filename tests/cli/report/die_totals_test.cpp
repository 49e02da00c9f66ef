#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "cli/report/die_order_page.hpp"
#include "cli/report/die_punch_tables.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/die_words.hpp"
#include "cli/tables/table.hpp"
#include "grading/dies/die_checks.hpp"
#include "grading/dies/die_punches.hpp"
#include "grading/dies/order/die_making.hpp"
#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/die_order_read.hpp"
#include "tests/cli/report/ordered_blobs.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("a die that is no outline of the grade has seams that are estimated, and says so", "[die_stated]") {
  Ordered o;
  o.put();
  DieShape wider = o.plan.dies[o.line("vamp").die].shape;
  for (const bool of_the_grade : {true, false}) {
    if (!of_the_grade) {
      for (ArcVertex& vertex : wider.cut.path.vertices) vertex.at = 1.0004 * vertex.at;
    }
    o.owned = {{"old", "vamp", wider}};
    o.put();
    REQUIRE(o.plan.unused.empty());
    CHECK(o.noted("is an estimate") == !of_the_grade);
    CHECK(o.noted("(old (vamp, nearest ") == !of_the_grade);
  }
}

TEST_CASE("the quantity of each die is in dies, totals and prices, and the fewest dies count it",
          "[die_stated]") {
  Ordered o;
  o.rules.rates.per_mm = 0.01;
  o.put();
  const Ordered one = o;
  CHECK(one.line("vamp").quantity == 1);
  o.rules.quantity = 2;
  o.rules.pieces["loop"].quantity = 3;
  o.put();
  check_carried(o);
  REQUIRE(o.order.lines.size() == one.order.lines.size());
  int dies = 0;
  double price = 0.0;
  double rule = 0.0;
  for (std::size_t k = 0; k < o.order.lines.size(); ++k) {
    const DieOrderLine& line = o.order.lines[k];
    const int quantity = line.piece == "loop" ? 3 : 2;
    CHECK(line.quantity == quantity);
    CHECK(line.to_make == quantity * one.order.lines[k].to_make);
    CHECK(line.total == Approx(quantity * one.order.lines[k].total));
    dies += line.to_make;
    price += line.total;
    rule += line.to_make * o.plan.dies[line.die].facts.rule_outer;
    const std::string words = to_make_text(o.plan.dies[line.die], line);
    CHECK(has(words, line.stamp_mirrored.empty()
                         ? fmt::format("{} for both feet", quantity)
                         : fmt::format("{}: as drawn and mirrored (M), {} of each", 2 * quantity, quantity)));
  }
  CHECK(o.order.totals.dies == dies);
  CHECK(o.plan.dies_to_make == dies);
  CHECK(o.plan.cost == Approx(dies));
  CHECK(o.order.totals.price == Approx(price));
  CHECK(o.order.totals.rule_outer == Approx(rule));
  for (std::size_t p = 0; p < o.plan.pieces.size(); ++p) {
    CHECK(o.plan.pieces[p].alone == one.plan.pieces[p].alone);
    CHECK(o.plan.pieces[p].outlines == one.plan.pieces[p].outlines);
  }
  // What is there is there once, and no more of it is made.
  o.owned = {{"old", "vamp", o.plan.dies[o.line("vamp").die].shape}};
  const int before = o.plan.dies_to_make;
  const int pair = o.plan.dies[o.line("vamp").die].to_make();
  o.put();
  CHECK(o.plan.dies_to_make == before - pair);
  CHECK(o.plan.dies_needed == before - pair + o.plan.dies[o.line("vamp").die].hands.dies());
  check_carried(o);
  o.order.head.delivery = "30 June";
  const auto again =
      read_order_again(die_order_json(o.order, o.plan, std::vector<DieFile>(o.order.lines.size())), "order",
                       o.blobs.style, run_of(3, 2));
  REQUIRE(again);
  CHECK(again->order.head.delivery == "30 June");
}

TEST_CASE("totals add up exact values, and a price says what it leaves out", "[die_stated]") {
  Ordered o;
  o.rules.weight_per_metre = 0.3;
  o.rules.rates.per_mm = 0.01;
  o.rules.rates.per_punch = 0.5;
  o.rules.limits.special_punch.value = 1e6;
  o.put();
  double rule = 0.0;
  double charged = 0.0;
  for (const DieOrderLine& line : o.order.lines) {
    rule += line.to_make * o.plan.dies[line.die].facts.rule_outer;
    charged += line.to_make * line.price;
    CHECK(std::abs(100.0 * line.price - std::round(100.0 * line.price)) < 1e-6);
  }
  CHECK(o.order.totals.rule_outer == Approx(rule).epsilon(1e-12));
  CHECK(*o.order.totals.weight == Approx(0.3e-3 * rule).epsilon(1e-12));
  CHECK(o.order.totals.price == Approx(charged).epsilon(1e-12));
  CHECK_FALSE(o.noted("special punch"));
  int joints = 0;
  for (const DieOrderLine& line : o.order.lines) joints += line.to_make * line.joints;
  REQUIRE(joints >= o.order.totals.dies);
  CHECK(o.order.totals.joints == joints);
  CHECK(o.noted(fmt::format("{} joints: the rates state no price for one (", joints)));
  const double unpriced = o.order.totals.price;
  o.rules.rates.per_joint = 1.25;
  o.put();
  CHECK_FALSE(o.noted("joint"));
  CHECK(o.order.totals.price == Approx(unpriced + 1.25 * joints));
  o.rules.rates.per_joint.reset();
  for (const bool priced : {false, true}) {
    if (priced) o.rules.rates.per_special_punch = 3.25;
    o.put();
    for (PlannedDie& die : o.plan.dies) die.work.special_punches.assign(1, {2, 5.0, 2.0});
    o.order = make_die_order(o.plan, o.blobs.style, o.rules, die_places(run_of(3, 2), true), o.owned);
    REQUIRE(o.order.totals.special_punches == 2 * o.order.totals.dies);
    CHECK(o.noted(fmt::format("the price leaves out {} special punches", o.order.totals.special_punches)) ==
          !priced);
    CHECK(o.order.totals.special_price == (priced ? 6.5 * o.order.totals.dies : 0.0));
    const std::string page = die_order_page(o.order, o.plan, o.rules);
    CHECK(has(page, "<dt>of it for special punches</dt><dd>" + std::string(priced ? "6.50 " : "not priced")));
    CHECK(has(die_order_text(o.order, o.plan), priced ? " of it for special punches" : ", without special"));
    check_carried(o);
    const auto again =
        read_order_again(die_order_json(o.order, o.plan, std::vector<DieFile>(o.order.lines.size())), "order",
                         o.blobs.style, run_of(3, 2));
    REQUIRE(again);
    CHECK(die_facts(again->order, again->plan) ==
          die_facts(o.order, o.plan));  // the report's, and the order's
  }
}

TEST_CASE("punches that another size needs otherwise are told", "[die_punches]") {
  Ordered o;
  o.put();
  CHECK(die_punches_table(o.order, o.plan).rows.size() == 1);  // the vamp's hole, one diameter
  CHECK_FALSE(o.noted("special punches"));

  // Two small slots that grow with their piece, one that does not; and a hole that is wider in one size.
  const auto slot = [](Vec2 at, double length) {
    const double h = 0.5 * length;
    return ClosedArcPath{
        {{{at.x - h, at.y - 1}}, {{at.x + h, at.y - 1}}, {{at.x + h, at.y + 1}}, {{at.x - h, at.y + 1}}}};
  };
  double grown = 6.0;
  int vamps = 0;
  for (const DieOrderLine& line : o.order.lines) {
    if (line.piece != "vamp") continue;
    PlannedDie& die = o.plan.dies[line.die];
    die.shape.cut_outs = {slot({0, 10}, grown), slot({0, -10}, grown), slot({10, 0}, 5)};
    if (vamps == 0) die.shape.holes[0].radius = 1.5;
    grown += 0.5;
    ++vamps;
    die.facts = without_special_punches(measure_die(die.shape), o.rules.limits);
    die.work = die_work(die.shape, die.facts, o.rules.limits, o.rules.bridge_every);
  }
  REQUIRE(vamps == 6);
  const std::vector<std::string> notes = punch_notes(o.order, o.plan, o.blobs.style, o.rules.limits);
  REQUIRE(notes.size() == 1);
  CHECK(has(
      notes[0],
      "special punches of the vamp are not the same in every size: 2 shapes grow in length from 6.0 mm ("));
  CHECK(has(notes[0], ") to 8.5 mm ("));
  CHECK(has(notes[0], "), all 2.0 mm wide, 6 different punches"));
  CHECK(has(notes[0], "6 different punches"));
  CHECK(has(notes[0], "cut_outs_held"));
  // The widest is not the longest, nor the narrowest the shortest: both are told, each with its own place.
  const DiePlan longer = o.plan;
  std::vector<std::string> at;
  const double wide[] = {2.4, 1.6, 2.0, 3.0, 2.2, 2.1};
  for (const DieOrderLine& line : o.order.lines) {
    if (line.piece != "vamp") continue;
    PlannedDie& die = o.plan.dies[line.die];
    for (ArcVertex& vertex : die.shape.cut_outs[0].vertices)
      vertex.at.y = 10 + (vertex.at.y > 10 ? 0.5 : -0.5) * wide[at.size()];
    die.facts = without_special_punches(measure_die(die.shape), o.rules.limits);
    at.push_back(line.drawn_as);
  }
  const std::vector<std::string> both = punch_notes(o.order, o.plan, o.blobs.style, o.rules.limits);
  REQUIRE(both.size() == 1);
  CHECK(has(both[0], "a shape grows in length from 6.0 mm (" + at[0] + ") to 8.5 mm (" + at[5] +
                         ") and in width from 1.6 mm (" + at[1] + ") to 3.0 mm (" + at[3] +
                         "), 6 different punches"));
  o.plan = longer;
  o.blobs.style.pieces[0].cut_outs_held.assign(6, {});
  CHECK(punch_notes(o.order, o.plan, o.blobs.style, o.rules.limits).empty());
  // Each diameter stands beside its own count, though the counts are the same.
  const Table punches = die_punches_table(o.order, o.plan);
  const auto row = [&](const std::string& punch) {
    return *std::find_if(punches.rows.begin(), punches.rows.end(),
                         [&](const auto& r) { return std::get<std::string>(r[1].value) == punch; });
  };
  CHECK(std::get<std::int64_t>(row("3 mm")[3].value) == 2);
  CHECK(std::get<std::int64_t>(row("4 mm")[3].value) == 10);
  CHECK(std::get<std::string>(row("3 mm")[5].value) == o.line("vamp").number);
  CHECK(std::get<std::int64_t>(row("special 6.0 x 2.0 mm")[4].value) == 4);
  CHECK(std::get<std::int64_t>(row("special 5.0 x 2.0 mm")[4].value) == 12);
  CHECK(short_punches_table(o.order, o.plan).rows.size() == 3);
}
