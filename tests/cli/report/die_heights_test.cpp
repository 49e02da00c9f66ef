#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cli/report/die_line_table.hpp"
#include "cli/report/die_order_page.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "grading/dies/order/ordered_die.hpp"
#include "tests/cli/report/ordered_blobs.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("rule heights that are unlike are told", "[die_stated]") {
  Ordered o;
  for (PieceSpec& piece : o.blobs.style.pieces) piece.material = piece.name == "vamp" ? "calf" : "felt";
  o.put();
  CHECK_FALSE(o.noted("rule height"));
  o.rules.pieces["vamp"].rule_height = 32;  // of another material than those of 19 mm
  o.put();
  CHECK_FALSE(o.noted("rule height"));
  o.rules.pieces["loop"].rule_height = 32;
  o.put();
  CHECK(
      o.noted("dies for one material (felt) differ in rule height and need a stroke each "
              "(19 mm: tongue; 32 mm: loop)"));

  // A die that is there keeps its height; what is asked of new ones may be another.
  o.rules = {};
  o.put();
  OwnedDie there{"old", "vamp", o.plan.dies[o.line("vamp").die].shape};
  there.rule_height = 32;
  o.owned = {there};
  o.put();
  CHECK(o.noted("(vamp: 1 die of 32 mm, the order 19 mm)"));
  check_carried(o);
  const auto line = std::find_if(o.order.lines.begin(), o.order.lines.end(),
                                 [](const DieOrderLine& one) { return one.number == "old"; });
  REQUIRE(line != o.order.lines.end());
  CHECK(fact_words(die_stated(o.order, *line), "rule height") == "32 mm");
  CHECK(fact_words(die_stated(o.order, *line), "handle") == "that of the die that is there");
  CHECK(fact_words(die_stated(o.order, *line), "bevel") == "not known, so look at the die that is there");
  CHECK(o.noted("on which side the bevel of these dies that are there already lies is not known"));
  o.owned[0].bevel = name_of(Bevel::kPiece);
  o.put();
  check_carried(o);
  CHECK(o.noted("which has it on the waste by common practice"));
  CHECK(o.noted("(vamp: " + std::string(line->there.size() == 1 ? "1 die" : "2 dies") + " on the piece)"));
  o.rules.bevel = Bevel::kPiece;
  o.put();
  CHECK_FALSE(o.noted("bevel"));
  o.rules.bevel.reset();
  o.owned[0].rule_height = 19;
  o.put();
  CHECK_FALSE(o.noted("the order 19 mm"));
  o.owned[0].rule_height.reset();
  o.put();
  CHECK(o.noted("that are there already is not known: measure them"));
  check_carried(o);
  const std::vector<std::string> missing = not_stated(o.order);
  CHECK(std::count(missing.begin(), missing.end(),
                   "rule height (of vamp, not known, so measure the die that is there)") == 1);
}

TEST_CASE("a die to make has the order's rule height, whatever the other foot's that is there has",
          "[die_stated]") {
  Ordered o;
  o.rules.rule_height = 19;
  o.put();
  const auto pair = std::find_if(o.plan.dies.begin(), o.plan.dies.end(),
                                 [](const PlannedDie& die) { return die.hands.mode == HandMode::kPair; });
  REQUIRE(pair != o.plan.dies.end());
  OwnedDie there{"plain", o.blobs.style.pieces[pair->piece].name, pair->shape, OwnedFoot::kDrawn};
  const auto line = [&]() -> const DieOrderLine& {
    return *std::find_if(o.order.lines.begin(), o.order.lines.end(),
                         [](const DieOrderLine& one) { return !one.there.empty(); });
  };
  struct Case {
    std::optional<double> asked;
    std::optional<double> there;
    bool assumed;
    const char* to_make;
    const char* owned;
  };
  for (const Case& one : {
           Case{19, {}, false, "19 mm", "not known, so measure the die that is there"},
           Case{19, 32, false, "19 mm", "32 mm"},
           Case{19, 32, true, "19 mm",
                "not stated, taken to be 32 mm in its own order, so measure the die that is there"},
           Case{{},
                {},
                false,
                "not stated, taken to be 19 mm by common practice",
                "not known, so measure the die that is there"},
           Case{{},
                32,
                false,
                "not stated, taken to be 32 mm like the die that is there for the other foot",
                "32 mm"},
       }) {
    o.rules.rule_height = one.asked;
    there.rule_height = one.there;
    there.height_assumed = one.assumed;
    o.owned = {there};
    o.put();
    REQUIRE(line().to_make == 1);
    check_carried(o);
    const std::vector<StatedFact> facts = die_stated(o.order, line());
    CHECK(fact_words(facts, "rule height") == one.to_make);
    CHECK(fact_words(facts, "rule height of the die that is there") == one.owned);
    CHECK(line().rule_height.has_value());
    CHECK(o.noted("left and right differ in rule height") == (one.there != line().rule_height));
    CHECK(o.noted("was not stated in their own order, but taken") == one.assumed);
    CHECK(o.noted("left and right differ in bevel, or that of one that is there is not known"));
  }
}

TEST_CASE("a height taken in one order is no fact in the next, and a stamp is told by what it is",
          "[die_stated]") {
  Ordered o;
  o.rules.weight_per_metre = 0.5;
  o.put();
  const std::string written =
      die_order_json(o.order, o.plan, std::vector<DieFile>(o.order.lines.size(), {"a.dxf", ""}));
  const auto dies = read_die_order(written, "order");
  REQUIRE(dies);
  REQUIRE(dies->size() == o.order.lines.size());
  const auto own = [&](const std::vector<OrderedDie>& ordered) {
    o.owned.clear();
    for (std::size_t k = 0; k < ordered.size(); ++k) {
      OwnedDie one{ordered[k].number, ordered[k].piece, o.plan.dies[o.order.lines[k].die].shape};
      one.rule_height = ordered[k].rule_height;
      one.height_assumed = ordered[k].height_assumed;
      one.bevel = ordered[k].bevel;
      one.bevel_assumed = ordered[k].bevel_assumed;
      one.weight = ordered[k].weight;
      one.stamp = ordered[k].stamp;
      one.stamp_mirrored = ordered[k].stamp_mirrored;
      o.owned.push_back(std::move(one));
    }
  };
  const Ordered first = o;
  own(*dies);
  o.rules.weight_per_metre = 9.0;  // of rule that these dies are not made of
  o.put();
  REQUIRE(o.order.totals.dies == 0);
  for (std::size_t k = 0; k < o.order.lines.size(); ++k)
    CHECK(*o.order.lines[k].weight == Approx(*first.order.lines[k].weight).margin(1e-4));
  check_carried(o);
  CHECK(o.noted("the rule height of these dies that are there already was not stated in their own order"));
  CHECK(o.noted("the bevel of these dies that are there already was not stated in their own order"));
  CHECK(fact_words(die_stated(o.order, o.order.lines[0]), "bevel") ==
        "not stated, taken to be on the waste in its own order, so look at the die that is there");
  CHECK_FALSE(o.noted("restamp"));
  CHECK(has(not_stated(o.order)[1],
            "rule height (of all dies, taken to be 19 mm in its own order, so measure"));
  for (const DieOrderLine& line : o.order.lines) {
    CHECK_FALSE(line.height_stated);
    CHECK(has(fact_words(die_stated(o.order, line), "rule height"),
              "not stated, taken to be 19 mm in its own"));
    CHECK(stamps_there(line).substr(0, 6) == "bears ");
  }
  // Stated in the former order, it is a fact; no word of it, as in an order that lists nothing, is none.
  Ordered stated = first;
  stated.rules.rule_height = 19;
  stated.rules.bevel = Bevel::kBoth;
  stated.put();
  const auto known = read_die_order(
      die_order_json(stated.order, stated.plan, std::vector<DieFile>(dies->size(), {"a.dxf", ""})), "order");
  REQUIRE(known);
  CHECK_FALSE((*known)[0].height_assumed);
  CHECK(((*known)[0].bevel == "on both sides" && !(*known)[0].bevel_assumed));
  CHECK_FALSE(read_die_order(
      R"({"lastwright_die_order":1,"dies":[{"die":"D1","piece":"vamp","file":"a.dxf","bevel":"above"}]})",
      "order"));
  const auto silent = read_die_order(
      R"({"lastwright_die_order":1,"dies":[{"die":"D1","piece":"vamp","file":"a.dxf","rule_height_mm":19}]})",
      "order");
  REQUIRE(silent);
  CHECK((*silent)[0].height_assumed);

  // One that served less when it was stamped: what it bears and what it is to bear.
  o.owned[0].stamp = "Blob / vamp / 8 E / D0001";
  o.put();
  const DieOrderLine& line = *std::find_if(
      o.order.lines.begin(), o.order.lines.end(),
      [](const DieOrderLine& one) { return !one.there.empty() && one.there.front().restamp(); });
  CHECK(stamps_there(line).substr(0, 61) ==
        ("bears Blob / vamp / 8 E / D0001: restamp as " + line.there.front().stamp).substr(0, 61));
  CHECK(o.noted("another stamp than what this order cuts with it: " + line.there.front().number));
  CHECK(o.noted(" (vamp) bears \"Blob / vamp / 8 E / D0001\", restamp as \"" + line.there.front().stamp +
                "\""));
  CHECK(has(die_order_page(o.order, o.plan, o.rules), "restamp as " + xml_escaped(line.there.front().stamp)));
  CHECK(
      has(die_order_json(o.order, o.plan, std::vector<DieFile>(o.order.lines.size())), "\"restamp\": true"));
  CHECK(has(std::get<std::string>(die_table(o.order, o.plan).rows[0][8].value), ": restamp as "));
}
