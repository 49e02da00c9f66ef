// One batch of every fault, and the batches that a simpler judgement gets wrong. How often, over many
// batches: tests/bench/readings_map.sh.
#include <algorithm>
#include <catch2/catch.hpp>
#include <tuple>

#include "grading/readings/batch_report.hpp"
#include "grading/readings/disposition.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/readings_plans.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

ReadingPlan plan_named(const std::string& name) {
  for (ReadingPlan& plan : reading_plans()) {
    if (plan.name == name) return plan;
  }
  throw std::runtime_error("no plan " + name);
}

ReadingNoiseKind noise_named(const std::string& name) {
  for (ReadingNoiseKind& noise : reading_noises()) {
    if (noise.name == name) return noise;
  }
  throw std::runtime_error("no noise " + name);
}

BatchScore score(const ReadingPlan& plan, const ReadingNoiseKind& noise, const PlantedFault* fault,
                 std::uint64_t seed) {
  static const SmallStyle style;
  const MeasureTable table = plan_table(style, plan.measures, plan.length);
  const BatchLayout layout = lay_out(make_plan_batch(style, table, plan, noise, fault, seed), table);
  return score_of(plan, fault, layout, explain(layout, table, style.run));
}

bool cause_says(const BatchFinding& finding, const char* text) {
  return finding.text.find(text) != std::string::npos;
}

BatchReport judged(const BatchPlan& plan, std::uint64_t seed) {
  static const SmallStyle style;
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  return judge_batch(make_batch(style, plan, seed), style.table, style.run, limits);
}

// Findings that accuse: figures beside their limit do not.
std::vector<BatchFinding> accusing(const BatchReport& report) {
  std::vector<BatchFinding> all;
  for (const BatchFinding& finding : report.findings) {
    if (finding.kind < BatchFinding::Kind::kReading || finding.kind == BatchFinding::Kind::kLeft)
      all.push_back(finding);
  }
  return all;
}

}  // namespace

TEST_CASE("every planted fault is named and nothing else is", "[batch]") {
  const ReadingPlan plan = plan_named("p60");
  const SmallStyle style;
  for (const PlantedFault& fault : planted_faults(style.run.base, 1.27)) {
    INFO(fault.name);
    const BatchScore found = score(plan, noise_named("normal"), &fault, 170017);
    CHECK(found.named);
    CHECK_FALSE(found.accused);
  }
}

TEST_CASE("sound batches are left in peace, whatever their noise", "[batch]") {
  for (const char* plan : {"p12", "p60m2", "s30"}) {
    for (const ReadingNoiseKind& noise : reading_noises()) {
      for (int seed = 0; seed < law_rounds(1); ++seed) {
        INFO(plan << ", " << noise.name << ", batch " << seed);
        CHECK(score(plan_named(plan), noise, nullptr, 270017 + 7919 * static_cast<std::uint64_t>(seed))
                  .causes == 0);
      }
    }
  }
}

TEST_CASE("an end size far off is named, and not the whole grade", "[batch]") {
  BatchPlan plan;
  plan.fault = [](const Reading& one) {
    return one.measure == 1 && one.stamped.size.label == "11" ? 4.0 : 0.0;
  };
  const auto found = accusing(judged(plan, 11));
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == BatchFinding::Kind::kSize);
  CHECK(found[0].text.starts_with("size 11: the ball girth is "));
  CHECK(cause_says(found[0], "over the table"));
}

TEST_CASE("girths graded 5 mm a width are named beside the quarter inch asked", "[batch]") {
  const SmallStyle style;
  BatchPlan plan;
  plan.fault = [&](const Reading& one) {
    return one.measure == 0 ? 0.0 : -1.35 * (one.stamped.width - style.run.base.width).count.value();
  };
  const auto found = accusing(judged(plan, 12));
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == BatchFinding::Kind::kStepByWidth);
  CHECK(cause_says(found[0], "where the table asks for 1/4 in (6.35 mm): graded with 5 mm"));

  // With the base width and one other the plan cannot tell; both are named, and what to read.
  plan.widths = {"F", "G"};
  plan.pairs = 4;
  const auto either = accusing(judged(plan, 13));
  REQUIRE(either.size() == 1);
  CHECK(cause_says(either[0], "which these readings cannot tell from it"));
  CHECK(cause_says(either[0], "read another width to tell"));
}

TEST_CASE("a batch one width wide is one sentence", "[batch]") {
  BatchPlan plan;
  plan.truly = [](SizeWidth at, int) {
    at.width.position = at.width.position + 1;
    return at;
  };
  const auto found = accusing(judged(plan, 14));
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == BatchFinding::Kind::kWholeBatch);
  CHECK(found[0].text.starts_with("the whole batch is one width wide"));
}

TEST_CASE("on a ladder of unequal steps one width wide is the next width", "[batch]") {
  SmallStyle style;
  const std::vector<Fraction> gaps{1, Fraction(1, 2), Fraction(3, 2)};
  Fraction at = 0;
  for (std::size_t i = 0; i < style.ladder.labels.size(); ++i) {
    style.ladder.positions.push_back(at);
    at = at + gaps[i % gaps.size()];
  }
  style.run.base.width = *style.ladder.width("F");
  for (Width& width : style.run.widths) width = *style.ladder.width(width.label);
  style.table = *MeasureTable::build(
      style.table.measures(), {style.run.base, style.scale.length(style.run.base.size), style.scale.step});
  const auto next = [&](const Width& width, int places) {
    const auto& labels = style.ladder.labels;
    const auto found = std::find(labels.begin(), labels.end(), width.label);
    return style.ladder.at(static_cast<std::size_t>(found - labels.begin() + places));
  };
  BatchOptions options;
  options.search.ladder = style.ladder.positions;
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  for (const auto& [one_size, places] : {std::pair{false, 1}, std::pair{true, 1}, std::pair{false, -1}}) {
    BatchPlan plan;
    plan.truly = [&](const SizeWidth& stamp, int) {
      return one_size && stamp.size.label != "9" ? stamp : SizeWidth{stamp.size, next(stamp.width, places)};
    };
    const auto found =
        accusing(judge_batch(make_batch(style, plan, 18), style.table, style.run, limits, options));
    REQUIRE(found.size() == 1);
    CHECK(found[0].text.starts_with(std::string(one_size ? "size 9" : "the whole batch") + " is one width " +
                                    (places > 0
                                         ? "wide: its readings are those of the next wider width"
                                         : "narrow: its readings are those of the next narrower width")));
  }
  // A step is no more "a width" there.
  BatchPlan plan;
  plan.fault = [&](const Reading& one) {
    return one.measure == 0 ? 0.0 : 1.3 * (one.stamped.width - style.run.base.width).count.value();
  };
  const auto found =
      accusing(judge_batch(make_batch(style, plan, 19), style.table, style.run, limits, options));
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == BatchFinding::Kind::kStepByWidth);
  CHECK(cause_says(found[0], "mm a full width step"));
}

TEST_CASE("exchanged stamps are one finding", "[batch]") {
  const SmallStyle style;
  BatchPlan plan;
  plan.truly = [&](const SizeWidth& stamp, int pair) {
    if (stamp.size.label != "9" || pair != 0 || stamp.width.label == "E") return stamp;
    return style.at("9", stamp.width.label == "F" ? "G" : "F");
  };
  const auto found = accusing(judged(plan, 15));
  REQUIRE(found.size() == 1);
  CHECK(found[0].kind == BatchFinding::Kind::kStamp);
  CHECK(cause_says(found[0], "look exchanged"));
}

TEST_CASE("where girths alone were read, all cells that fit are named", "[batch]") {
  // A quarter inch a size and a width: one width more is one size more to every girth.
  const SmallStyle style;
  const ReadingPlan plan = plan_named("p60g2");
  const MeasureTable table = plan_table(style, plan.measures, plan.length);
  for (const PlantedFault& fault : planted_faults(style.run.base, 1.27)) {
    if (fault.name != "stamp: a pair a width wide") continue;
    ReadingLimits limits;
    limits.value.assign(2, Limit{1.5, 1.5, "test"});
    limits.pair.assign(2, Limit{3.0, 3.0, "test"});
    const BatchReport report = judge_batch(
        make_plan_batch(style, table, plan, noise_named("normal"), &fault, 3), table, style.run, limits);
    const auto found = accusing(report);
    REQUIRE(found.size() == 1);
    CHECK(cause_says(found[0], "those of 8.5 G"));
    CHECK(cause_says(found[0], "9.5 F"));
    CHECK(cause_says(found[0], "read its stick length to tell"));
    const auto doubtful = std::find_if(report.items.begin(), report.items.end(),
                                       [](const JudgedItem& item) { return item.match == Match::kDoubtful; });
    REQUIRE(doubtful != report.items.end());
    CHECK(doubtful->fits.size() >= 2);
    // As likely as the other cell that fits, or less; a sound last is what it says.
    CHECK(doubtful->certainty > 0.1);
    CHECK(doubtful->certainty < 0.6);
  }
}

TEST_CASE("what fits one cell alone is surely of it", "[batch]") {
  const SmallStyle style;
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  const BatchReport all = judge_batch(make_batch(style, {}, 5), style.table, style.run, limits);
  REQUIRE_FALSE(all.items.empty());
  for (const JudgedItem& item : all.items) {
    INFO(item.id);
    CHECK(item.certainty > 0.9);
    CHECK(item.certainty <= 1.0);
  }
}

TEST_CASE("what pairs and lasts have in common by chance is no more than is allowed for", "[batch]") {
  const SmallStyle style;
  const ReadingPlan plan = plan_named("p60");
  const MeasureTable table = plan_table(style, plan.measures, plan.length);
  const BatchLayout layout =
      lay_out(make_plan_batch(style, table, plan, noise_named("pairs"), nullptr, 2), table);
  SearchOptions options;
  const double free = explain(layout, table, style.run, options).fit.noise.pair;
  CHECK(free > 0.4);  // 0.6 was made
  options.noise.most_shared = 0.3;
  const BatchNoise capped = explain(layout, table, style.run, options).fit.noise;
  CHECK(std::max({capped.pair, capped.last, capped.last_pair}) <= 0.3);
}

// Half of the lasts by either tape, every third read in sixteenths of an inch.
std::vector<Reading> by_two_tapes(std::vector<Reading> readings) {
  for (Reading& one : readings) {
    const int number = std::stoi(one.id.substr(1));
    one.gauge = number % 2 == 0 ? "tape A" : "tape B";
    if (number % 3 != 0) continue;
    one.inches = true;
    one.step = 25.4 / 16.0;
    one.value = std::round(one.value / one.step) * one.step;
  }
  return readings;
}

TEST_CASE("one last read again accuses no sound batch, and no evidence is nil", "[batch][law]") {
  const SmallStyle style;
  const ReadingPlan plan{"mixed", {"7", "7.5", "8", "8.5"}, {"F", "G"}, 2, 4};
  ReadingNoiseKind noise = noise_named("normal");
  noise.made = noise.read = 0.25;
  const MeasureTable table = plan_table(style, plan.measures, plan.length);
  const double least = std::log(SearchOptions().sure / (1.0 - SearchOptions().sure));
  int explained = 0;
  // From a round on where noise that was sought further on one side accused two batches of three.
  for (int round = 21; round < 21 + law_rounds(3); ++round) {
    const auto seed = static_cast<std::uint64_t>(9001 + round);
    std::vector<Reading> readings = by_two_tapes(make_plan_batch(style, table, plan, noise, nullptr, seed));
    Reading again = readings[static_cast<std::size_t>(round * 37) % readings.size()];
    again.value += again.inches || round % 2 == 0 ? 0.0 : 0.5;
    readings.push_back(again);
    INFO("round " << round);
    const BatchExplanation sound = explain(lay_out(readings, table), table, style.run);
    CHECK(sound.causes.empty());
    // Rounding hides none of what a reading scatters by: 0.25 mm as made and as read.
    CHECK(sound.fit.noise.reading + sound.fit.noise.own > 0.25);
    // One tape off in one girth: what is named has its evidence, and its amount is apart from none.
    for (Reading& one : readings) {
      if (one.measure == 1 && one.gauge == "tape A") one.value += 1.8;
    }
    for (const Explanation& one : explain(lay_out(readings, table), table, style.run).causes) {
      ++explained;
      CHECK(one.log_odds >= (one.next ? 0.0 : least));
      if (!one.cause.known()) CHECK(std::abs(one.amount) > 1.96 * one.amount_spread);
    }
  }
  CHECK(explained >= law_rounds(3) / 2);
}

TEST_CASE("fewer than four lasts are held against the user's limits", "[batch]") {
  const SmallStyle style;
  std::vector<Reading> readings;
  for (std::size_t m = 0; m < 3; ++m) {
    Reading one;
    one.id = "A";
    one.stamped = style.at("9", "F");
    one.measure = m;
    one.value = style.table.value(m, style.at("8.5", "F"));
    one.step = 0.5;
    readings.push_back(one);
  }
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  const BatchReport strict = judge_batch(readings, style.table, style.run, limits);
  REQUIRE_FALSE(strict.findings.empty());
  CHECK(strict.findings[0].kind == BatchFinding::Kind::kStamp);
  CHECK(cause_says(strict.findings[0], "those of 8.5 F"));
  limits.value.assign(3, Limit{6.0, 6.0, "test"});
  CHECK(judge_batch(readings, style.table, style.run, limits).findings.empty());
  // Limits of three times the noise of any batch change nothing; wider ones do.
  const auto noise_within = [&](double limit) {
    limits.value.assign(3, Limit{limit, limit, "test"});
    return judge_batch(readings, style.table, style.run, limits).explained.fit.noise.reading;
  };
  const double three_times = 3.0 * NoisePrior().reading;
  CHECK(noise_within(three_times) == noise_within(0.2 * three_times));
  CHECK(noise_within(1.3 * three_times) > noise_within(three_times));
}

TEST_CASE("a slip is told, and its last held, where the measure has no limit", "[batch]") {
  const SmallStyle style;
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  limits.value[2] = limits.pair[2] = std::nullopt;
  std::vector<Reading> readings = make_batch(style, {}, 5);
  const BatchReport sound = judge_batch(readings, style.table, style.run, limits);
  CHECK(sound.findings.empty());
  CHECK(disposition(sound, style.table, limits, 0).find("hold") == std::string::npos);
  const auto slipped =
      std::find_if(readings.begin(), readings.end(), [](const Reading& one) { return one.measure == 2; });
  REQUIRE(slipped != readings.end());
  slipped->value += 9.0;
  const BatchReport report = judge_batch(readings, style.table, style.run, limits);
  REQUIRE(report.findings.size() == 1);
  CHECK(report.findings[0].kind == BatchFinding::Kind::kReading);
  CHECK(cause_says(report.findings[0], slipped->id.c_str()));
  CHECK(cause_says(report.findings[0], "it has no limit"));
  CHECK(disposition(report, style.table, limits, 0).find("hold " + slipped->id) != std::string::npos);
}

TEST_CASE("where rights are fuller, pairs that differ by that are not to be read again", "[batch]") {
  const SmallStyle style;
  ReadingLimits limits;
  limits.value.assign(3, Limit{6.0, 6.0, "test"});
  limits.pair.assign(3, Limit{1.0, 1.0, "test"});
  const auto named = [&](const BatchPlan& plan) {
    const BatchReport report = judge_batch(make_batch(style, plan, 5), style.table, style.run, limits);
    std::size_t again = 0;
    for (const BatchFinding& finding : report.findings)
      again += cause_says(finding, "of the left is") ? 1 : 0;
    const bool led =
        std::any_of(report.findings.begin(), report.findings.end(), [](const BatchFinding& finding) {
          return finding.kind == BatchFinding::Kind::kPair &&
                 cause_says(finding, "as the findings above explain");
        });
    const auto apart = std::count_if(report.pairs.begin(), report.pairs.end(),
                                     [](const JudgedPair& pair) { return beyond(pair.verdict); });
    return std::tuple{again, led, static_cast<std::size_t>(apart)};
  };
  const auto [by_noise, nothing, apart_by_noise] = named({});
  CHECK_FALSE(nothing);
  CHECK(by_noise == apart_by_noise);
  BatchPlan fuller;
  fuller.fault = [](const Reading& one) { return one.foot == Foot::kRight && one.measure == 1 ? 2.0 : 0.0; };
  const auto [again, led, apart] = named(fuller);
  CHECK(led);
  CHECK(apart > 20);
  CHECK(5 * again < apart);  // those that the noise alone sets apart

  // Held by themselves are the pairs that differ by more than the rights are fuller by, in that measure or
  // another.
  std::vector<Reading> readings = make_batch(style, fuller, 5);
  const auto odd = std::find_if(readings.begin(), readings.end(), [](const Reading& one) {
    return one.foot == Foot::kRight && one.measure == 2;
  });
  REQUIRE(odd != readings.end());
  odd->value -= 4.0;
  const BatchReport report = judge_batch(readings, style.table, style.run, limits);
  const std::string line = disposition(report, style.table, limits, 0);
  INFO(line);
  CHECK(line.starts_with("hold the whole batch: "));
  CHECK(line.find(odd->id + " (left and right differ") != std::string::npos);
  std::size_t held = 0;
  for (std::size_t at = 0; (at = line.find("left and right differ", at)) != std::string::npos; ++at) ++held;
  CHECK(5 * held < apart);
}

// A child's last: 3/16 in a size up to size 9, a quarter of an inch from there on.
TEST_CASE("a step that is wrong in one stretch of the sizes is named as that, and no size is accused",
          "[batch]") {
  SmallStyle style;
  std::vector<Measure> measures = style.table.measures();
  measures[1].breaks.push_back(
      {*style.scale.size("5"), *style.scale.size("9"), parse_quantity("3/16 in").value(), std::nullopt});
  style.table = *MeasureTable::build(std::move(measures), style.table.base());
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  const double sixteenth = 25.4 / 16.0;
  for (const bool upper : {true, false}) {
    for (int seed = 0; seed < law_rounds(1); ++seed) {
      BatchPlan plan;
      plan.fault = [&](const Reading& one) {
        const double sizes = one.stamped.size.position.value() - style.scale.size("9")->position.value();
        // Upper: 3/16 all the way; lower: a quarter all the way, from the base, which is 8.
        if (one.measure != 1) return 0.0;
        return upper ? -sixteenth * std::max(sizes, 0.0) : sixteenth * (std::min(sizes, 0.0) + 1.0);
      };
      const BatchReport report = judge_batch(make_batch(style, plan, 4100 + static_cast<std::uint64_t>(seed)),
                                             style.table, style.run, limits);
      const std::vector<BatchFinding> found = accusing(report);
      INFO((found.empty() ? std::string("nothing") : found.front().text));
      REQUIRE(found.size() == 1);
      CHECK(found.front().kind == BatchFinding::Kind::kStepBySize);
      CHECK(cause_says(found.front(),
                       upper ? "the ball girth from 9 up grows by" : "the ball girth up to 9 grows by"));
      CHECK(cause_says(found.front(), upper ? "graded with 3/16 in" : "graded with 1/4 in"));
    }
  }
}

TEST_CASE("of a gauge that deviates, what it alone read is held", "[batch]") {
  const SmallStyle style;
  ReadingLimits limits;
  limits.value.assign(3, Limit{2.0, 2.0, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  BatchPlan plan;
  plan.fault = [](const Reading& one) { return one.gauge == "T2" ? 1.5 : 0.0; };
  const std::vector<Reading> once = make_batch(style, plan, 16);
  const BatchReport one = judge_batch(once, style.table, style.run, limits);
  CHECK(disposition(one, style.table, limits, 0)
            .starts_with("hold what the gauge \"T2\" alone read (15 of 30 pairs): "));
  // The same lasts, all read with the other gauge as well.
  std::vector<Reading> twice = once;
  for (const Reading& reading : once) {
    Reading other = reading;
    other.gauge = reading.gauge == "T2" ? "T1" : "T2";
    other.value += reading.gauge == "T2" ? -1.5 : 1.5;
    twice.push_back(std::move(other));
  }
  const BatchReport both = judge_batch(twice, style.table, style.run, limits);
  const std::string line = disposition(both, style.table, limits, 0);
  INFO(line);
  CHECK(line.starts_with("accept "));
  CHECK(line.find("by their other readings; not sound: all readings of the gauge \"T2\"") !=
        std::string::npos);
}

TEST_CASE("a batch judged twice, and in another order, says the same", "[batch]") {
  const SmallStyle style;
  BatchPlan plan;
  plan.fault = [](const Reading& one) { return one.gauge == "T2" ? 1.3 : 0.0; };
  std::vector<Reading> readings = make_batch(style, plan, 16);
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  const BatchReport one = judge_batch(readings, style.table, style.run, limits);
  std::reverse(readings.begin(), readings.end());
  const BatchReport other = judge_batch(readings, style.table, style.run, limits);
  REQUIRE(one.findings.size() == other.findings.size());
  for (std::size_t i = 0; i < one.findings.size(); ++i) CHECK(one.findings[i].text == other.findings[i].text);
}
