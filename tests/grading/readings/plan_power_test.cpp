#include "grading/readings/plan_power.hpp"

#include <catch2/catch.hpp>

#include "tests/support/readings_plans.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

ReadingPlanOptions plan_of(const SmallStyle& style, int pairs) {
  ReadingPlanOptions plan;
  for (const char* size : {"7", "8", "9"}) plan.sizes.push_back(*style.scale.size(size));
  plan.widths = {*style.ladder.width("F")};
  plan.measures = {0, 1, 2};
  plan.pairs = pairs;
  plan.tapes = 2;
  plan.spread = 0.42;
  return plan;
}

double power(const SmallStyle& style, int pairs, Cause::Kind kind, Cause::Change change, double amount) {
  const ReadingPlanOptions plan = plan_of(style, pairs);
  const BatchLayout layout = lay_out(planned_readings(plan, style.table), style.table);
  const CauseMaker maker(layout, style.table, style.run);
  for (const auto& group : maker.common()) {
    if (group.front().kind == kind && group.front().change == change)
      return power_of(layout, group.front(), amount, plan);
  }
  return -1.0;
}

}  // namespace

TEST_CASE("more lasts and larger faults are named more often", "[plan]") {
  const SmallStyle style;
  using Kind = Cause::Kind;
  using Change = Cause::Change;
  for (const auto& [kind, change] :
       {std::pair{Kind::kStepBySize, Change::kGirths}, std::pair{Kind::kTape, Change::kAll},
        std::pair{Kind::kSize, Change::kMeasure}, std::pair{Kind::kHand, Change::kGirths}}) {
    double before = -1e-9;
    for (const int pairs : {1, 2, 4, 6}) {
      const double now = power(style, pairs, kind, change, 1.3);
      CHECK(now >= before);
      CHECK(now <= 1.0);
      before = now;
    }
    before = -1e-9;
    for (const double amount : {0.5, 1.0, 2.0, 3.0}) {
      const double now = power(style, 3, kind, change, amount);
      CHECK(now >= before);
      before = now;
      CHECK(power(style, 3, kind, change, -amount) == Approx(now));
    }
    CHECK(before > 0.95);
  }
}

// Over many trials of 12 lasts: steps of 3/16 in named in all batches, rights 1.27 mm fuller in 7 of 8, one
// size drifted by 1.27 mm in 1 of 8.
TEST_CASE("what is expected of a plan is what trials of it show", "[plan]") {
  const SmallStyle style;
  CHECK(power(style, 2, Cause::Kind::kStepBySize, Cause::Change::kGirths, -25.4 / 16.0) > 0.95);
  CHECK(power(style, 2, Cause::Kind::kHand, Cause::Change::kGirths, 1.27) == Approx(0.88).margin(0.1));
  CHECK(power(style, 2, Cause::Kind::kSize, Cause::Change::kMeasure, 1.27) < 0.25);
}
