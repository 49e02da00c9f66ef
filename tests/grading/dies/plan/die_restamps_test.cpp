// What a plan weighs as restamps is what its order has stamped anew.
#include "grading/dies/plan/die_restamps.hpp"

#include <catch2/catch.hpp>

#include "grading/dies/order/die_order.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/owned_again.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

int restamps_named(const DieOrder& order) {
  int count = 0;
  for (const DieOrderLine& line : order.lines) {
    for (const DieThere& one : line.there) count += one.restamp() ? 1 : 0;
  }
  return count;
}

}  // namespace

TEST_CASE("a plan counts the dies to stamp anew that its order names, and an order anew has none",
          "[die_restamps]") {
  BlobStyle blobs = small_style();
  blobs.style.name = "Walker";
  DieRules rules;
  rules.curve.clear();
  int any = 0;
  for (const double before : {0.6, 1.2}) {
    const char* foot = before > 1.0 ? "left" : "";
    blobs.style.name = "Walker";
    blobs.style.drawn_foot = foot;
    rules.tolerance = before;
    rules.two_edged = before > 1.0;
    DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
    const DiePlan first = *plan_dies(input);
    input.owned = owned_again(first, make_die_order(first, blobs.style, rules, input.places, {}));
    const auto again = [&] {
      const DiePlan plan = *plan_dies(input);
      const int named = restamps_named(make_die_order(plan, blobs.style, rules, input.places, input.owned));
      CHECK(plan.restamps == named);
      CHECK(plan.restamps_at_least <= named);
      return named;
    };
    INFO(before << " mm, foot '" << foot << "'");
    CHECK(again() == 0);
    rules.tolerance = 0.5 * before;  // fewer sizes a die: some bear too much now
    any += again() > 0 ? 1 : 0;
    rules.tolerance = before == 0.6 ? 1.2 : 2.0;  // more of them: each keeps what it bears
    CHECK(again() == 0);
    rules.tolerance = before;
    const std::vector<OwnedDie> owned = input.owned;
    for (OwnedDie& die : input.owned) {  // one of each pair
      if (!die.of_a_pair) continue;
      die.foot = OwnedFoot::kDrawn;
      die.stamp_mirrored.clear();
    }
    CHECK(again() == 0);
    for (OwnedDie& die : input.owned) die.stamp.clear();  // nobody knows what they bear
    CHECK(again() == 0);
    input.owned = owned;
    blobs.style.name = "Strider";
    CHECK(again() > 0);
  }
  CHECK(any > 0);
}
