#include "grading/dies/order/die_stated.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cli/report/die_line_table.hpp"
#include "cli/report/die_order_page.hpp"
#include "cli/report/die_text.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/ordered_die.hpp"
#include "tests/cli/report/ordered_blobs.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("what nobody states of a die is said to be so wherever it is asked for", "[die_stated]") {
  Ordered o;
  o.put();
  check_carried(o);
  CHECK(not_stated(o.order) ==
        std::vector<std::string>{
            "material (of all dies)", "rule height (of all dies, taken to be 19 mm by common practice)",
            "rule thickness (of all dies, taken to be the die maker's usual)",
            "bevel (of all dies, taken to be on the waste by common practice)",
            "handle (of all dies, taken to be none)", "quantity of each die (of all dies, taken to be 1)",
            "making tolerance, either way (of all dies)", "layers under a stroke (of all dies)",
            "order number", "date", "contact", "delivery wanted"});
  const std::string said = die_order_text(o.order, o.plan);
  CHECK(has(said, "not stated: material (of all dies); rule height"));
  CHECK(
      has(die_order_page(o.order, o.plan, o.rules), "<td>19, not stated</td>"));  // a short cell in each row
  CHECK(has(die_order_page(o.order, o.plan, o.rules), "not stated: material (of all dies); rule height"));

  o.blobs.style.pieces[0].material = "calf";
  o.rules.pieces["loop"].rule_height = 32;
  o.rules.rule_thickness = 2;
  o.rules.bevel = Bevel::kBoth;
  o.rules.handle = "welded";
  o.rules.quantity = 1;
  o.rules.making_tolerance = 0.1;
  o.rules.layers_per_stroke = 4;
  o.put();
  o.order.head = {"17", "3 June", "", ""};
  check_carried(o);
  CHECK(not_stated(o.order) ==
        std::vector<std::string>{"material (of tongue, loop)",
                                 "rule height (of vamp, tongue, taken to be 19 mm by common practice)",
                                 "contact", "delivery wanted"});
  o.rules.rule_height = 19;
  for (PieceSpec& piece : o.blobs.style.pieces) piece.material = "calf";
  o.put();
  o.order.head = {"17", "3 June", "the works", "30 June"};
  check_carried(o);
  CHECK(not_stated(o.order).empty());
  CHECK_FALSE(has(die_order_text(o.order, o.plan), "not stated"));
}

TEST_CASE("how exactly a die is made and how many layers lie under it is what the user states, or is open",
          "[die_stated]") {
  constexpr const char* kMade = "making tolerance, either way";
  constexpr const char* kLaid = "layers under a stroke";
  constexpr const char* kColumn = ">layers under a stroke</th>";
  Ordered o;
  const auto page = [&] { return die_order_page(o.order, o.plan, o.rules); };
  const auto written = [&] {
    return die_order_json(o.order, o.plan, std::vector<DieFile>(o.order.lines.size(), {"a.dxf", ""}));
  };
  const auto fact = [&](const DieOrderLine& line, const char* what) {
    return fact_words(die_stated(o.order, line), what);
  };
  o.put();
  for (const char* const what : {kMade, kLaid}) CHECK(fact(o.line("vamp"), what) == "not stated");
  const auto open = read_die_order(written(), "order");
  REQUIRE(open);
  for (const OrderedDie& one : *open) CHECK_FALSE((one.making_tolerance || one.layers_per_stroke));
  CHECK_FALSE(has(page(), kColumn));

  o.rules.making_tolerance = 0.1;
  o.rules.layers_per_stroke = 4;
  o.put();
  check_carried(o);
  CHECK(has(page(), "making tolerance, either way: 0.1 mm; layers under a stroke: 4."));
  CHECK_FALSE(has(page(), kColumn));  // it is the same for all
  o.rules.pieces["loop"].making_tolerance = 0.25;
  o.rules.pieces["loop"].layers_per_stroke = 1;
  o.put();
  check_carried(o);
  CHECK(has(page(), kColumn));
  CHECK(fact(o.line("loop"), kMade) == "0.25 mm");
  CHECK(fact(o.line("loop"), kLaid) == "1");
  CHECK(fact(o.line("vamp"), kMade) == "0.1 mm");
  CHECK(fact(o.line("vamp"), kLaid) == "4");
  const auto dies = read_die_order(written(), "order");
  REQUIRE(dies);
  for (const OrderedDie& one : *dies) {
    CHECK(one.making_tolerance == (one.piece == "loop" ? 0.25 : 0.1));
    CHECK(one.layers_per_stroke == (one.piece == "loop" ? 1 : 4));
  }

  // A die that is there keeps what its order states, whatever this one asks of new dies; what falls short of
  // that is told, and of a plain drawing nothing is known.
  const Ordered first = o;
  const DieOrderLine loop = first.line("loop");
  const auto owned = [&](OwnedFoot foot, const char* number) {
    OwnedDie one{number, "loop", first.plan.dies[loop.die].shape, foot};
    one.making_tolerance = 0.25;
    one.layers_per_stroke = 1;
    return one;
  };
  const auto there = [&]() -> const DieOrderLine& {
    return *std::find_if(o.order.lines.begin(), o.order.lines.end(),
                         [](const DieOrderLine& one) { return !one.there.empty(); });
  };
  o.rules.pieces.clear();
  o.owned = {owned(OwnedFoot::kBoth, "A1")};
  o.put();
  REQUIRE(there().to_make == 0);
  check_carried(o);
  CHECK(fact(there(), kMade) == "0.25 mm");
  CHECK(fact(there(), kLaid) == "1");
  CHECK(o.noted(
      "to be made as exactly as this order asks: measure them (A1 (loop): 0.25 mm, the order 0.1 mm)"));
  CHECK(o.noted("ask their maker before so many lie under them (A1 (loop): 1, the order 4)"));
  CHECK(has(page(), kColumn));
  o.owned[0].making_tolerance.reset();
  o.owned[0].layers_per_stroke.reset();
  o.put();
  check_carried(o);
  for (const char* const what : {kMade, kLaid})
    CHECK(fact(there(), what) == "not known of the die that is there");
  CHECK(o.noted("(A1 (loop): not known, the order 0.1 mm)"));
  CHECK(o.noted("(A1 (loop): not known, the order 4)"));
  CHECK(has(fmt::format("{}", fmt::join(not_stated(o.order), "; ")),
            "layers under a stroke (of loop, not known of the die that is there)"));
  o.rules.making_tolerance = 0.25;
  o.rules.layers_per_stroke = 1;
  o.owned = {owned(OwnedFoot::kBoth, "A1")};
  o.put();
  CHECK_FALSE(o.noted("are not known to be made"));

  // The other foot's that is there: stated for the new one, or taken to be like it and said to be.
  o.owned = {owned(OwnedFoot::kDrawn, "A1")};
  o.put();
  REQUIRE(there().to_make == 1);
  check_carried(o);
  CHECK(fact(there(), kLaid) == "1");
  o.rules.making_tolerance.reset();
  o.rules.layers_per_stroke.reset();
  o.put();
  check_carried(o);
  CHECK(fact(there(), kMade) ==
        "not stated, taken to be 0.25 mm like the die that is there for the other foot");
  CHECK(fact(there(), kLaid) == "not stated, taken to be 1 like the die that is there for the other foot");
  CHECK_FALSE(o.noted("are not known to be made"));
  const auto taken = read_die_order(written(), "order");  // no order carries on what was taken
  REQUIRE(taken);
  for (const OrderedDie& one : *taken) CHECK_FALSE((one.making_tolerance || one.layers_per_stroke));
  o.owned.push_back(owned(OwnedFoot::kMirrored, "B2"));
  o.owned[1].layers_per_stroke = 2;
  o.put();
  REQUIRE(there().to_make == 0);
  check_carried(o);
  CHECK(fact(there(), kMade) == "0.25 mm");
  CHECK(fact(there(), kLaid) == "not known to be alike in left and right (A1: 1; B2: 2)");

  for (const char* const bad :
       {R"("making_tolerance_mm":"0.1 mm")", R"("making_tolerance_mm":0)", R"("making_tolerance_mm":2.01)",
        R"("layers_per_stroke":1.5)", R"("layers_per_stroke":0)", R"("layers_per_stroke":101)"}) {
    INFO(bad);
    CHECK_FALSE(read_die_order(
        fmt::format(
            R"({{"lastwright_die_order":1,"dies":[{{"die":"D1","piece":"vamp","file":"a.dxf",{}}}]}})", bad),
        "order"));
    // The rules themselves are checked alike, of all dies and of a piece.
    std::string rule = bad;
    if (const std::size_t unit = rule.find("_mm"); unit != std::string::npos) rule.erase(unit, 3);
    for (const char* const form :
         {R"({{"lastwright_die_rules":1,{}}})", R"({{"lastwright_die_rules":1,"pieces":{{"vamp":{{{}}}}}}})"})
      CHECK_FALSE(read_die_rules(fmt::format(fmt::runtime(form), rule), "rules", o.blobs.style).ok());
  }
  const Checked<DieRules> read = read_die_rules(
      R"({"lastwright_die_rules":1,"making_tolerance":0.1,"layers_per_stroke":4,
          "pieces":{"loop":{"making_tolerance":2,"layers_per_stroke":1}}})",
      "rules", o.blobs.style);
  REQUIRE(read.ok());
  CHECK(read->making_tolerance_of("vamp") == 0.1);
  CHECK(read->layers_of("vamp") == 4);
  CHECK(read->making_tolerance_of("loop") == 2.0);
  CHECK(read->layers_of("loop") == 1);
}
