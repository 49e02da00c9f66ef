#include "grading/dies/die_stated.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_line_table.hpp"
#include "cli/report/die_notes.hpp"
#include "cli/report/die_order_page.hpp"
#include "cli/report/die_punch_tables.hpp"
#include "cli/report/die_sheet.hpp"
#include "cli/report/die_tables.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/die_words.hpp"
#include "cli/table.hpp"
#include "geometry/io/svg_canvas.hpp"
#include "grading/dies/die_order_json.hpp"
#include "grading/dies/die_order_read.hpp"
#include "grading/dies/die_punches.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

struct Ordered {
  BlobStyle blobs = small_style();
  DieRules rules;
  std::vector<OwnedDie> owned;
  DiePlan plan;
  DieOrder order;

  void put() {
    rules.curve.clear();
    DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
    input.owned = owned;
    plan = *plan_dies(input);
    order = make_die_order(plan, blobs.style, rules, input.places, owned);
  }
  [[nodiscard]] const DieOrderLine& line(const std::string& piece) const {
    return *std::find_if(order.lines.begin(), order.lines.end(),
                         [&](const DieOrderLine& one) { return one.piece == piece; });
  }
  [[nodiscard]] bool noted(const std::string& words) const {
    return std::any_of(order.notes.begin(), order.notes.end(),
                       [&](const std::string& note) { return note.find(words) != std::string::npos; });
  }
};

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

// Every fact of every die stands in its row of the table, on its drawing, on the page and in the JSON.
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
    CHECK(on_drawing(fmt::format("cut per pair: {}; an outline it cuts deviates by {:.3f} mm", line.per_pair,
                                 die.worst_deviation)));
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

}  // namespace

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
      CHECK_FALSE(
          read_die_rules(fmt::format(fmt::runtime(form), rule), "rules", o.blobs.style).problems.empty());
  }
  const DieRulesRead read = read_die_rules(
      R"({"lastwright_die_rules":1,"making_tolerance":0.1,"layers_per_stroke":4,
          "pieces":{"loop":{"making_tolerance":2,"layers_per_stroke":1}}})",
      "rules", o.blobs.style);
  REQUIRE(read.problems.empty());
  CHECK(read.rules.making_tolerance_of("vamp") == 0.1);
  CHECK(read.rules.layers_of("vamp") == 4);
  CHECK(read.rules.making_tolerance_of("loop") == 2.0);
  CHECK(read.rules.layers_of("loop") == 1);
}

TEST_CASE("a two-edged die says so on its drawing", "[die_stated]") {
  Ordered o;
  o.rules.two_edged = true;
  o.put();
  check_carried(o);
  const DieOrderLine& line = o.line("loop");
  REQUIRE(o.plan.dies[line.die].hands.mode == HandMode::kTwoEdged);
  const Sheet sheet = die_sheet(o.plan.dies[line.die], o.order, line, false);
  CHECK(std::any_of(sheet.texts.begin(), sheet.texts.end(), [](const auto& text) {
    return text.operation == Operation::kText &&
           text.text == "cutting edges: two, as the die is turned over for the other foot";
  }));
  // Nobody asks by telephone where its bridges lie, or on which side its edges are ground.
  CHECK(fact_words(die_stated(o.order, line), "where bridges lie").empty());  // the loop is too short for any
  const auto notes = [&] {
    std::string all;
    for (const std::string& note : die_reading_notes(o.order)) all += note + "\n";
    return all;
  };
  CHECK(has(notes(), "A two-edged die cuts with either side"));
  CHECK(has(notes(), "one for each 120 mm"));
  o.rules.bridge_every = Millimetres(10.0);
  for (const char* const stated : {"", "half way up"}) {
    o.rules.two_edged_bridges = stated;
    o.put();
    check_carried(o);
    const DieOrderLine& bridged = o.line("loop");
    REQUIRE(bridged.bridges > 0);
    const std::string lie = fact_words(die_stated(o.order, bridged), "where bridges lie");
    CHECK(lie == (*stated == 0 ? "not stated, to be agreed with the die maker, as a two-edged die has no back"
                               : stated));
    const std::vector<std::string> list = not_stated(o.order);
    CHECK(std::any_of(list.begin(), list.end(), [](const std::string& one) {
            return has(one, "where bridges lie (of ") && has(one, ", to be agreed with the die maker, as ");
          }) == (*stated == 0));
    CHECK(fact_words(die_stated(o.order, bridged), "bevel") ==
          "not stated, taken to be on the waste by common practice, the same at both edges");
    const std::vector<std::string> words = die_words(o.plan.dies[bridged.die], o.order, bridged, false);
    CHECK(std::count(words.begin(), words.end(),
                     fmt::format("lines across: proposed bridges, {} to stiffen it", bridged.bridges)) == 1);
    CHECK(std::count(words.begin(), words.end(),
                     "CUT and CUT_OUT are the cutting edges of one side, seen from the other side") == 1);
  }
  o.rules.two_edged = false;
  o.put();
  CHECK(fact_words(die_stated(o.order, o.line("loop")), "cutting edges") == "one");
  CHECK(fact_words(die_stated(o.order, o.line("loop")), "where bridges lie") == "at the back of the die");
  CHECK_FALSE(has(notes(), "A two-edged die"));
}

TEST_CASE("a pair that is there is not taken for a die with two edges", "[die_stated]") {
  Ordered o;
  o.put();
  const Ordered first = o;
  for (const bool both : {true, false}) {
    o = first;
    for (const DieOrderLine& line : first.order.lines) {
      const PlannedDie& die = first.plan.dies[line.die];
      if (line.piece != "loop") continue;
      REQUIRE(die.hands.mode == HandMode::kPair);
      OwnedDie one{line.number, line.piece, die.shape, both ? OwnedFoot::kBoth : OwnedFoot::kDrawn};
      one.stamp = line.stamp_drawn;
      one.stamp_mirrored = line.stamp_mirrored;
      one.of_a_pair = true;
      o.owned.push_back(one);
    }
    o.rules.two_edged = true;
    o.put();
    check_carried(o);
    for (const DieOrderLine& line : o.order.lines) {
      const PlannedDie& die = o.plan.dies[line.die];
      if (line.piece != "loop" || !die.owned) continue;
      CHECK(die.hands.mode == HandMode::kPair);
      CHECK(line.to_make == (both ? 0 : 1));  // the other foot's is still to be made
    }
    if (both) CHECK(o.plan.dies[o.line("loop").die].owned);
    CHECK_FALSE(o.noted("restamp"));
  }
  // Nobody says of a plain one that it is of a pair: it may have two edges, and is to be looked at.
  for (OwnedDie& one : o.owned) one.of_a_pair = false;
  o.put();
  const DieOrderLine& line = o.line("loop");
  CHECK(line.to_make == 0);
  CHECK_FALSE(line.weight);
  CHECK(
      has(fact_words(die_stated(o.order, line), "cutting edges"), "see that the die that is there has them"));
  // A plain drawing has no number: the pair gets one, on both dies.
  o.rules.two_edged = false;
  for (OwnedDie& one : o.owned) {
    one.foot = OwnedFoot::kDrawn;
    one.stamp.clear();
    one.stamp_mirrored.clear();
  }
  o.put();
  const DieOrderLine& half = o.line("loop");
  REQUIRE(half.to_make == 1);
  for (const std::string& stamp : {half.stamp_drawn, half.stamp_mirrored})
    CHECK(stamp.ends_with(" / " + half.number));
  CHECK(has(stamps_there(half), "not known: see that it bears " + half.stamp_drawn));
}

TEST_CASE("a pair has one number where one of its dies is there", "[die_stated]") {
  Ordered o;
  o.put();
  const DieOrderLine first = o.line("loop");
  REQUIRE(first.to_make == 2);
  OwnedDie half{"B17", "loop", o.plan.dies[first.die].shape, OwnedFoot::kMirrored};
  half.stamp_mirrored = "as it was / B17";
  half.of_a_pair = true;
  o.owned = {half};
  o.put();
  const DieOrderLine line = o.line("loop");
  REQUIRE(line.to_make == 1);
  CHECK(line.number == "B17");
  for (const std::string& stamp : {line.stamp_drawn, line.stamp_mirrored}) CHECK(stamp.ends_with(" / B17"));
  CHECK(std::count_if(o.order.lines.begin(), o.order.lines.end(),
                      [](const DieOrderLine& one) { return one.number == "B17"; }) == 1);
  // Where the number is another die's too, both dies get a new one, and the one that is there is restamped.
  half.piece = "vamp";
  half.shape = o.plan.dies[o.line("vamp").die].shape;
  o.owned.push_back(half);
  o.put();
  const DieOrderLine again = o.line("loop");
  CHECK(again.number != "B17");
  for (const std::string& stamp : {again.stamp_drawn, again.stamp_mirrored})
    CHECK(stamp.ends_with(" / " + again.number));
  CHECK(o.noted("restamp"));
}

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
  CHECK(has(notes[0],
            "special punches of the vamp are not the same in every size: 2 shapes grow from 6.0 x "
            "2.0 mm"));
  CHECK(has(notes[0], "to 8.5 x 2.0 mm"));
  CHECK(has(notes[0], "6 different punches"));
  CHECK(has(notes[0], "cut_outs_held"));
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

TEST_CASE("numbers of dies that come from several orders are told", "[die_stated]") {
  Ordered o;
  o.blobs.style.drawn_foot = "left";
  o.put();
  const auto pair = std::find_if(o.plan.dies.begin(), o.plan.dies.end(),
                                 [](const PlannedDie& die) { return die.hands.mode == HandMode::kPair; });
  REQUIRE(pair != o.plan.dies.end());
  const std::string piece = o.blobs.style.pieces[pair->piece].name;
  OwnedDie left{"A7", piece, pair->shape, OwnedFoot::kDrawn};
  left.stamp = "as its order says";
  OwnedDie right = left;
  right.number = "B3";
  right.foot = OwnedFoot::kMirrored;
  const auto number = [&] {
    return std::find_if(o.order.lines.begin(), o.order.lines.end(),
                        [](const DieOrderLine& one) { return one.there.size() == 2; })
        ->number;
  };
  o.owned = {left, right};
  o.put();
  CHECK(number() == "A7 + B3");
  CHECK(o.noted("keep their two numbers (" + piece + " "));
  CHECK(o.noted(": L is A7, R is B3)"));
  o.owned[1].number = "A7";  // one number is no two
  o.put();
  CHECK(number() == "A7");
  CHECK_FALSE(o.noted("two numbers"));
  CHECK_FALSE(o.noted("bear one number"));
  const auto other = std::find_if(o.plan.dies.begin(), o.plan.dies.end(), [&](const PlannedDie& die) {
    return o.blobs.style.pieces[die.piece].name != piece;
  });
  REQUIRE(other != o.plan.dies.end());
  o.owned.push_back({"A7", o.blobs.style.pieces[other->piece].name, other->shape, OwnedFoot::kBoth});
  o.put();
  CHECK(o.noted("bear one number: tell them apart by the piece, size and width stamped with it (A7: "));
}
