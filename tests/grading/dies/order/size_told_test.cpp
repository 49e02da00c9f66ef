// Nicks that tell the size: on every die where they are true of all that it serves, and on no other.
#include "grading/dies/order/size_told.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "grading/dies/order/die_order.hpp"
#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/die_size_notes.hpp"
#include "grading/json/json_value.hpp"
#include "tests/support/owned_again.hpp"
#include "tests/support/size_code.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

bool of_one_size(const PlannedDie& die, const DiePlaces& places) {
  return std::all_of(die.serves.begin(), die.serves.end(), [&](std::uint32_t d) {
    return places.demands[d].size.position == places.demands[die.serves.front()].size.position;
  });
}

DieRules at_tolerance(double mm) {
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = mm;
  return rules;
}

}  // namespace

TEST_CASE("a die for several widths of one size has the nicks that tell it, one for several sizes none",
          "[size_told]") {
  BlobStyle blobs = small_style();
  const SizeRun run = run_of(4, 2);
  add_size_code(blobs, run);
  int several = 0;
  int none = 0;
  for (const double mm : {0.15, 1.0, 3.0}) {
    DieRules rules = at_tolerance(mm);
    for (const Size& size : run.sizes) {  // tongues and loops of one size are kept together
      for (const char* piece : {"tongue", "loop"})
        rules.pieces[piece].groups.push_back({size.label, size.label, size.label, {}});
    }
    DiePlanInput input = input_of(blobs, rules, run);
    const DiePlan plan = *plan_dies(input);
    INFO(mm << " mm");
    for (const PlannedDie& die : plan.dies) {
      const bool sized = input.places.demands[die.serves.front()].size.label != "7";  // it has no nick
      const bool one = of_one_size(die, input.places);
      if (!one) CHECK(die.shape.size_marks.empty());
      if (one && sized) CHECK(die.shape.size_marks.empty() == die.untold.any());
      CHECK(die.worst_ratio <= 1.0 + 1e-6);
      several += die.serves.size() > 1 && !die.shape.size_marks.empty() ? 1 : 0;
      none += one ? 0 : 1;
    }
    // Read again each serves what it did: no new die, no new stamp.
    const DieOrder order = make_die_order(plan, blobs.style, rules, input.places, {});
    input.owned = owned_again(plan, order);
    for (OwnedDie& die : input.owned) die.shape = with_size_marks(die.shape);
    const DiePlan again = *plan_dies(input);
    CHECK(again.dies_to_make == 0);
    CHECK(again.restamps == 0);
  }
  CHECK(several > 3);
  CHECK(none > 2);
}

TEST_CASE("a die whose nicks tell the size only serves its own width first", "[size_told]") {
  BlobStyle blobs = small_style();
  const SizeRun run = run_of(3, 3);
  add_size_code(blobs, run);
  const DieRules rules = at_tolerance(1.0);
  DiePlanInput input = input_of(blobs, rules, run);
  for (std::size_t p = 0; p < blobs.style.pieces.size(); ++p) {
    for (const std::uint32_t place : input.places.own)
      input.owned.push_back({std::to_string(input.owned.size()), blobs.style.pieces[p].name,
                             with_size_marks(input.outline(p, place)->shape)});
  }
  const DiePlan plan = *plan_dies(input);
  CHECK(plan.dies_to_make == 0);
  CHECK(plan.unused.empty());
  for (const PlannedDie& die : plan.dies) {
    CHECK(die.serves.size() == 1);
    CHECK(die.worst_deviation < 1e-3);
  }
}

TEST_CASE("nicks as near as a tolerance to those of another size do not make a die serve it", "[size_told]") {
  BlobStyle blobs = small_style();
  const SizeRun run = run_of(3, 2);
  add_size_code(blobs, run);
  // As many nicks in every size, and told apart by a code that the outlines do not show.
  blobs.style.codes[0].marks[0].second = {1, 2};
  blobs.style.codes[0].marks[1].second = {1, 3};
  blobs.style.codes[0].marks[2].second = {2, 3};
  blobs.same_nicks = true;
  const DieRules rules = at_tolerance(2.0);
  DiePlanInput input = input_of(blobs, rules, run);
  const std::uint32_t own = input.places.own[2];
  input.owned = {{"old", "loop", with_size_marks(input.outline(2, own)->shape)}};
  const DiePlan plan = *plan_dies(input);
  CHECK(plan.unused.empty());
  for (const PlannedDie& die : plan.dies) {
    if (die.owned) CHECK(of_one_size(die, input.places));
    if (!of_one_size(die, input.places)) CHECK(die.shape.size_marks.empty());
  }
}

TEST_CASE("an order says of nicks which tell the size and which the width", "[size_told][law]") {
  const SizeRun run = run_of(3, 2);
  int spoken = 0;
  int untold = 0;
  for (int kind = 0; kind < 12; ++kind) {
    const NickTells codes{kind % 2 == 1, kind / 2 % 2 == 1};
    BlobStyle blobs = small_style();
    blobs.style.name = "Blob";
    if (codes.size) add_size_code(blobs, run);
    if (codes.width) add_width_code(blobs, run);
    const DieRules rules = at_tolerance(std::vector{0.05, 0.8, 3.0}[static_cast<std::size_t>(kind / 4)]);
    DiePlanInput input = input_of(blobs, rules, run);
    // A loop that is there without any of them.
    DieShape bare = input.outline(2, input.places.own.back())->shape;
    bare.size_marks.clear();
    input.owned = {{"old", "loop", bare}};
    const DiePlan plan = *plan_dies(input);
    const DieOrder order = make_die_order(plan, blobs.style, rules, input.places, input.owned);
    const Json json = Json::parse(die_order_json(order, plan, std::vector<DieFile>(order.lines.size())));
    for (std::size_t k = 0; k < order.lines.size(); ++k) {
      const PlannedDie& die = plan.dies[order.lines[k].die];
      const SizeWidth& at = input.places.demands[die.serves.front()];
      const GradedPiece piece = blobs.graded(die.piece, at);
      const std::string text = nicks_text(die.work);
      INFO(order.lines[k].number << " of " << order.lines[k].piece << ": " << text);
      NickTells drawn;
      long size = 0;
      long width = 0;
      for (const GradedLine& line : piece.lines) drawn |= line.tells;
      for (const NickFacts& nick : die.work.nicks)
        (nick.tells.size ? size : width) += nick.tells.any() ? 1 : 0;
      const bool has = size + width > 0;
      const auto says = [&](const std::string& what) {
        return text.find(" tells the " + what) != std::string::npos ||
               text.find(" tell the " + what) != std::string::npos;
      };
      CHECK(says("size") == (has && drawn.size));
      CHECK(says("width") == (has && drawn.width));
      CHECK((size > 0) == says("size"));
      CHECK((width > 0) == says("width"));
      CHECK((die.untold == NickTells{} || (!has && die.untold == drawn)));
      CHECK((!codes.size && !codes.width ? !has : true));
      const Json& nicks = json.at("dies").at(k).at("nicks_told");
      CHECK(std::count_if(nicks.begin(), nicks.end(),
                          [](const Json& n) { return n.at("tells_size").get<bool>(); }) == size);
      CHECK(std::count_if(nicks.begin(), nicks.end(),
                          [](const Json& n) { return n.at("tells_width").get<bool>(); }) == width);
      spoken += has ? 1 : 0;
      untold += die.untold.any() ? 1 : 0;
    }
    for (const std::string& note : size_untold_notes(order, plan)) {
      INFO(note);
      CHECK((note.find("the size") != std::string::npos) == codes.size);
      CHECK((note.find("the width") != std::string::npos) == codes.width);
    }
  }
  CHECK(spoken > 40);
  CHECK(untold > 2);
}
