#include "grading/readings/plan_advice.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"
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
      return power_of(layout, group.front(), amount, noise_of(plan, layout));
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
      CHECK(now >= before - 1e-9);
      CHECK(now <= 1.0);
      before = now;
    }
    before = -1e-9;
    for (const double amount : {0.5, 1.0, 2.0, 3.0}) {
      const double now = power(style, 3, kind, change, amount);
      CHECK(now >= before - 1e-9);
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

// Fisher's information of a scattered place, from the chances of single readings.
TEST_CASE("readings with wide tails tell as much as fewer without", "[plan]") {
  const SmallStyle style;
  const ReadingPlanOptions plan = plan_of(style, 3);
  const BatchLayout layout = lay_out(planned_readings(plan, style.table), style.table);
  const CauseMaker maker(layout, style.table, style.run);
  BatchNoise wide = noise_of(plan, layout);
  wide.wide_part = 0.15;
  const ReadingNoise reading{wide.reading, wide.wide_part, 0.0};
  constexpr double kHalf = 1e-3;
  double information = 0.0;
  for (double y = -8.0; y < 8.0; y += 2.0 * kHalf) {
    const ReadingChance chance = chance_of({y - kHalf, y + kHalf}, 0.0, reading);
    information += std::exp(chance.log_chance) * chance.slope * chance.slope;
  }
  BatchNoise same = noise_of(plan, layout);
  same.reading = 1.0 / std::sqrt(information);
  CHECK(same.reading > 1.08 * wide.reading);
  for (const auto& group : maker.common()) {
    const Cause& cause = group.front();
    if (cause.kind != Cause::Kind::kHand || cause.change != Cause::Change::kGirths) continue;
    const double power = power_of(layout, cause, 1.0, wide);
    CHECK(power == Approx(power_of(layout, cause, 1.0, same)).margin(1e-3));
    CHECK(power < 0.95);
  }
}

namespace {

std::vector<PlanAnswer> unshown(const SmallStyle& style, const char* plan_name, const char* noise_name) {
  for (const ReadingPlan& plan : reading_plans()) {
    for (const ReadingNoiseKind& noise : reading_noises()) {
      if (plan.name != plan_name || noise.name != noise_name) continue;
      const MeasureTable table = plan_table(style, plan.measures, plan.length);
      const BatchLayout layout = lay_out(make_plan_batch(style, table, plan, noise, nullptr, 370017), table);
      return not_shown(layout, explain(layout, table, style.run).fit.noise, table, style.run);
    }
  }
  throw std::runtime_error("no such plan or noise");
}

const PlanAnswer* about(const std::vector<PlanAnswer>& answers, Cause::Kind kind) {
  for (const PlanAnswer& one : answers) {
    if (one.kind == kind) return &one;
  }
  return nullptr;
}

}  // namespace

// tests/bench/readings_rates.py: of faults of three times the noise that were neither named nor told here,
// none that these plans could show.
TEST_CASE("a batch tells what it could not have shown, and what would", "[plan]") {
  using Kind = Cause::Kind;
  const SmallStyle style;
  const std::vector<PlanAnswer> few = unshown(style, "p12", "normal");
  const PlanAnswer* size = about(few, Kind::kSize);
  REQUIRE(size);
  CHECK(size->power < 0.5);
  REQUIRE(size->lasts);
  CHECK(*size->lasts > 12);
  REQUIRE(size->least_amount);
  CHECK(*size->least_amount > 2.0);  // far more than three times the noise
  const PlanAnswer* width = about(few, Kind::kStepByWidth);
  REQUIRE(width);  // one width was read
  CHECK(width->power == 0.0);
  CHECK(width->besides == "another width");
  CHECK_FALSE(width->least_amount);
  const PlanAnswer* by_size = about(few, Kind::kStepBySize);
  REQUIRE(by_size);  // shown as far as it is asked, and not much below
  CHECK(by_size->power >= kAskedPower);
  CHECK(by_size->least_amount < 1.6);
  CHECK_FALSE(about(few, Kind::kStampOfPair));
  // Two hundred lasts of five sizes and five widths show all of it, and much less.
  const std::vector<PlanAnswer> many = unshown(style, "p200", "normal");
  CHECK(many.size() >= 6);
  for (const PlanAnswer& one : many) {
    INFO(one.fault);
    CHECK(one.power >= 0.9);  // on the safe side: of the whole batch off in one measure, trials name all
    REQUIRE(one.least_amount);
    CHECK(*one.least_amount < 1.5);
  }
  // Two widths, the base one of them: a step is one of them off.
  const std::vector<PlanAnswer> two_widths = unshown(style, "p60s3", "normal");
  const PlanAnswer* step = about(two_widths, Kind::kStepByWidth);
  REQUIRE(step);
  CHECK(step->alike == "all girths of width E");
  // Ball girth alone: half a size of one last is half a step.
  const std::vector<PlanAnswer> one_measure = unshown(style, "p60m1", "normal");
  const PlanAnswer* stamp = about(one_measure, Kind::kStampOfLast);
  REQUIRE(stamp);
  CHECK(stamp->besides == "more measures of each last");
  CHECK_FALSE(stamp->lasts);
}

// What is not named is either less than the batch says that it would name, or one of few.
TEST_CASE("a batch that misses a fault says that it names only larger ones", "[plan]") {
  const SmallStyle style;
  using Kind = Cause::Kind;
  std::size_t missed = 0;
  std::size_t silent = 0;
  std::size_t covered = 0;
  for (const ReadingPlan& plan : reading_plans()) {
    if (plan.name != "p12") continue;
    const MeasureTable table = plan_table(style, plan.measures, plan.length);
    for (const ReadingNoiseKind& noise : reading_noises()) {
      if (noise.name != "normal" && noise.name != "heavy" && noise.name != "pairs") continue;
      // 1.27 mm: what one of these plans names in most batches, not in 95 of 100. Twice as much it names.
      std::vector<std::pair<double, PlantedFault>> hands;
      for (const double amount : {1.27, 2.54}) {
        for (PlantedFault& fault : planted_faults(style.run.base, amount)) {
          if (fault.name == "hand: rights fuller") hands.emplace_back(amount, std::move(fault));
        }
      }
      for (const auto& [amount, fault] : hands) {
        for (int seed = 0; seed < law_rounds(2); ++seed) {
          const auto drawn = 570017 + 31 * static_cast<std::uint64_t>(seed);
          const BatchLayout layout =
              lay_out(make_plan_batch(style, table, plan, noise, &fault, drawn), table);
          const BatchExplanation explained = explain(layout, table, style.run);
          const auto answers = not_shown(layout, explained.fit.noise, table, style.run);
          const PlanAnswer* hand = about(answers, Kind::kHand);
          REQUIRE(hand);
          const bool covers = hand->least_amount && *hand->least_amount <= amount;
          covered += covers ? 1 : 0;
          if (score_of(plan, &fault, layout, explained).named) continue;
          ++missed;
          silent += covers ? 1 : 0;
        }
      }
    }
  }
  INFO(missed << " missed, " << covered << " covered");
  CHECK(missed >= 2);
  CHECK(silent == 0);
  CHECK(covered >= 4);  // it does not say so of every fault
}

TEST_CASE("the least amount that is named is named in 95 of 100, a tenth of a millimetre less is not",
          "[plan]") {
  const SmallStyle style;
  const int pairs = GENERATE(2, 9, 20);  // 12, 54 and 120 lasts
  const ReadingPlanOptions plan = plan_of(style, pairs);
  const BatchLayout layout = lay_out(planned_readings(plan, style.table), style.table);
  const CauseMaker maker(layout, style.table, style.run);
  const BatchNoise noise = noise_of(plan, layout);
  std::size_t asked = 0;
  for (const auto& group : maker.common()) {
    const Cause& cause = group.front();
    const auto least = least_shown(layout, cause, noise);
    if (cause.known()) CHECK_FALSE(least);
    if (!least || cause.change == Cause::Change::kScale || cause.place > 0) continue;
    ++asked;
    CHECK(power_of(layout, cause, *least, noise) >= kAskedPower);
    CHECK(power_of(layout, cause, *least - 0.1, noise) < kAskedPower);
    BatchNoise rough = noise;
    rough.reading *= 1.5;
    const auto of_rough = least_shown(layout, cause, rough);
    CHECK((!of_rough || *of_rough > *least || (pairs > 2 && *of_rough == *least)));  // both to 0.1 mm
  }
  CHECK(asked >= 8);
}

TEST_CASE("one reading of a last proves no stamp, however far it is off", "[plan]") {
  const SmallStyle style;
  ReadingPlanOptions plan = plan_of(style, 2);
  for (const bool single : {true, false}) {
    if (single) plan.measures = {1};
    if (!single) plan.measures = {0, 1, 2};
    const BatchLayout layout = lay_out(planned_readings(plan, style.table), style.table);
    const CauseMaker maker(layout, style.table, style.run);
    double best = 0.0;
    for (const Cause& cause : maker.of_block(0)) {
      if (cause.kind == Cause::Kind::kStampOfLast)
        best = std::max(best, power_of(layout, cause, 1.0, noise_of(plan, layout)));
    }
    CHECK((best < 0.5) == single);
    CHECK((best > 0.99) == !single);
  }
}

TEST_CASE("so many lasts as are asked for would show it, and one pair less would not", "[plan]") {
  const SmallStyle style;
  const PlanAdvice advice = advise(plan_of(style, 2), style.table, style.run);
  std::size_t asked = 0;
  for (const PlanAnswer& answer : advice.answers) {
    if (!answer.lasts || *answer.lasts <= 6) continue;
    ++asked;
    const int pairs = static_cast<int>(*answer.lasts / 6);
    for (const int tried : {pairs - 1, pairs}) {
      const PlanAdvice then = advise(plan_of(style, tried), style.table, style.run);
      const auto same = std::find_if(then.answers.begin(), then.answers.end(),
                                     [&](const PlanAnswer& one) { return one.fault == answer.fault; });
      REQUIRE(same != then.answers.end());
      INFO(answer.fault << ", " << tried << " pairs");
      CHECK((same->power >= kAskedPower) == (tried == pairs));
    }
  }
  CHECK(asked >= 3);
  CHECK(advice.answers.front().fault == "a step by size of all girths off by 1/16 in (3/16 in for 1/4 in)");
}

TEST_CASE("the cost that is expected of a covariance is the trace, block by block", "[plan]") {
  const SmallStyle style;
  const ReadingPlanOptions plan = plan_of(style, 2);
  const BatchLayout layout = lay_out(planned_readings(plan, style.table), style.table);
  const BatchNoise noise = noise_of(plan, layout);
  const std::vector<Eigen::VectorXd> extra{Eigen::VectorXd::Ones(layout.count())};
  const Precision precision(layout, noise, Eigen::VectorXd::Constant(layout.count(), 5.0), extra);
  std::vector<Eigen::MatrixXd> shown;
  double wanted = 0.0;
  for (std::size_t b = 0; b < layout.blocks.size(); ++b) {
    shown.push_back(own_covariance(layout, layout.blocks[b], noise));
    shown.back().diagonal().array() += 0.3;
    wanted += (precision.of_block(b) * shown.back()).trace();
  }
  CHECK(precision.trace_with(shown) == Approx(wanted).epsilon(1e-10));
}
