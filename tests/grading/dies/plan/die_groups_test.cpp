// A die that is there is one die, also where two tooling groups of its piece could use it.
#include "grading/dies/plan/die_groups.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "grading/dies/order/die_order.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("a die that is there stands in one tooling group of its piece, and the order counts it once",
          "[die_groups]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = 1.5;  // one loop serves all sizes and widths
  DiePlanInput input = input_of(blobs, rules, run_of(4, 2));
  const DiePlan first = *plan_dies(input);
  REQUIRE(first.pieces[2].outlines == 1);
  for (const PlannedDie& die : first.dies) {
    if (die.piece != 2) continue;
    OwnedDie owned{"D0007", "loop", die.shape};
    owned.of_a_pair = true;
    for (const SizeWidth& at : input.places.demands) owned.served.emplace_back(at.size.label, at.width.label);
    owned.stamp = owned.stamp_mirrored = "as it was";
    input.owned.push_back(std::move(owned));
  }
  const int others = first.dies_to_make - 2;
  CHECK(plan_dies(input)->dies_to_make == others);
  rules.pieces["loop"].groups = {{"small", "7", "7", {}}, {"large", "7.5", "8.5", {}}};
  const DiePlan plan = *plan_dies(input);
  const DieOrder order = make_die_order(plan, blobs.style, rules, input.places, input.owned);
  CHECK(plan.dies_to_make == others + 2);  // a pair for the group that the one there does not stand in
  CHECK(plan.proven);
  std::size_t lines = 0;
  for (const DieOrderLine& line : order.lines) {
    if (line.there.empty()) continue;
    ++lines;
    CHECK(line.sizes_widths.size() == 6);  // the group of which it serves most
  }
  CHECK(lines == 1);
  CHECK(order.totals.owned == 1);
  CHECK(std::count(plan.notes.begin(), plan.notes.end(),
                   "dies that are there already fit several tooling groups of their piece, and each is used "
                   "for one, as it is one die (D0007 (loop) for large, not for small); whether fewer dies "
                   "would be stamped anew with another of these uses is not sought") == 1);
  // Given twice it is two dies, one for each group.
  input.owned.push_back(input.owned.front());
  CHECK(plan_dies(input)->dies_to_make == others);
}

TEST_CASE("a die serves sizes of one range of held cut-outs alone, and has the punches of that range",
          "[die_groups]") {
  BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  rules.tolerance = 1.5;
  DiePlanInput input = input_of(blobs, rules, run_of(4, 2));
  REQUIRE(plan_dies(input)->pieces[2].outlines == 1);
  for (const Size& size : input.places.whole_sizes()) input.places.refined.named[size.label] = size.position;
  blobs.style.pieces[2].cut_outs_held = {{"7", "7 1/2", "7"}, {"8", "8 1/2", "8"}};
  const DiePlan plan = *plan_dies(input);
  CHECK(plan.pieces[2].outlines == 2);
  const Fraction border = Fraction(31, 4);  // half way between the ranges
  for (const PlannedDie& die : plan.dies) {
    if (die.piece != 2) continue;
    const Fraction drawn = input.places.places[die.candidate].size.position;
    CHECK(drawn != border);
    for (const std::uint32_t demand : die.serves)
      CHECK((input.places.demands[demand].size.position < border) == (drawn < border));
  }
}
