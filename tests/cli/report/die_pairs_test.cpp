#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "cli/report/die_line_table.hpp"
#include "cli/report/die_notes.hpp"
#include "cli/report/die_sheet.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "tests/cli/report/ordered_blobs.hpp"

using namespace lastwright;
using namespace lastwright::test;

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

TEST_CASE("a die that is there and fits two pieces is used for one of them", "[die_stated]") {
  Ordered o;
  o.blobs.style.drawn_foot = "left";
  o.blobs.add("loop inside", 8, 8);  // cut as the loop is
  o.put();
  const PlannedDie made = o.plan.dies[o.line("loop").die];
  REQUIRE(made.hands.mode == HandMode::kPair);
  const int needed = o.plan.dies_needed;
  const auto used = [&] {
    std::vector<const DieOrderLine*> lines;
    for (const DieOrderLine& line : o.order.lines) {
      if (!line.there.empty()) lines.push_back(&line);
    }
    return lines;
  };
  OwnedDie left{"A7", "", made.shape, OwnedFoot::kDrawn};
  left.shown = {"A7"};
  OwnedDie right = left;
  right.foot = OwnedFoot::kMirrored;
  right.number = "A8";
  right.shown = {"A8"};
  for (const bool both : {false, true}) {
    o.owned = {left};
    if (both) o.owned.push_back(right);
    o.put();
    REQUIRE(used().size() == 1);
    CHECK(used().front()->piece == "loop");
    CHECK(used().front()->to_make == (both ? 0 : 1));
    CHECK(o.order.totals.owned == 1);
    CHECK(o.plan.dies_to_make == needed - (both ? 2 : 1));
    CHECK(o.order.totals.dies == o.plan.dies_to_make);
    CHECK(o.plan.proven);
    CHECK_FALSE(o.noted("from several orders bear one number"));
    const std::string words =
        "dies that are there already fit several pieces, and each is used for one, as it bears one stamp (" +
        std::string(both ? "A7 and A8" : "A7") + " for the loop, not for the loop inside)";
    CHECK(std::count_if(o.plan.notes.begin(), o.plan.notes.end(),
                        [&](const std::string& note) { return note.starts_with(words); }) == 1);
  }
  // Given twice it is two, one for each piece, and neither counts towards the other's quantity.
  o.owned = {left, left};
  o.put();
  REQUIRE(used().size() == 2);
  CHECK(used()[0]->piece != used()[1]->piece);
  for (const DieOrderLine* line : used()) CHECK(line->there.front().quantity == 1);
  o.owned = {left};
  o.owned[0].piece = "loop inside";
  o.put();
  REQUIRE(used().size() == 1);
  CHECK(used().front()->piece == "loop inside");
}

TEST_CASE("each die says how many of its own nicks stand on one side, or are cut by both edges",
          "[die_stated]") {
  for (const bool both : {false, true}) {
    Ordered o;
    o.blobs.size_nicks = true;
    o.rules.two_edged = true;
    o.rules.two_edged_nicks = both;
    o.rules.tolerance = 0.4;
    o.put();
    std::vector<int> counts;
    for (const DieOrderLine& line : o.order.lines) {
      const PlannedDie& die = o.plan.dies[line.die];
      const int nicks = die.facts.nicks;
      REQUIRE(nicks > 0);
      counts.push_back(nicks);
      REQUIRE(die.hands.mode == (both ? HandMode::kTwoEdged : HandMode::kPair));
      const std::string own =
          both
              ? (nicks == 1 ? "both edges cut its nick," : fmt::format("both edges cut its {} nicks,", nicks))
              : (nicks == 1 ? "1 nick or prick stands on one side"
                            : fmt::format("{} nicks or pricks stand on one side", nicks));
      INFO(die.hands.why);
      CHECK(has(die.hands.why, own));
    }
    CHECK(*std::max_element(counts.begin(), counts.end()) > *std::min_element(counts.begin(), counts.end()));
  }
}
