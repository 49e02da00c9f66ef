// Nicks that tell the size: on every die where they are true of all that it serves, and on no other.
#include "grading/dies/order/size_told.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "grading/dies/order/die_order.hpp"
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
      if (one && sized) CHECK(die.shape.size_marks.empty() == die.size_untold);
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
