#include "grading/readings/readings.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "grading/readings/batch_report.hpp"
#include "grading/readings/reading_limits.hpp"
#include "tests/support/synthetic_readings.hpp"

using namespace lastwright;
using lastwright::test::SmallStyle;

namespace {

ReadingRow row(long line, const char* id, const char* size, const char* width, const char* hand,
               const char* measure, const char* value, const char* unit, const char* gauge = "") {
  return {line, id, size, width, hand, measure, value, unit, gauge};
}

}  // namespace

TEST_CASE("bad rows are listed with their lines and the others are kept", "[readings]") {
  const SmallStyle style;
  struct Case {
    ReadingRow row;
    const char* says;  // empty: a good row
  };
  const std::vector<Case> cases{
      {row(2, "A", "8", "F", "left", "ball girth", "246.5", "mm"), ""},
      {row(3, "A", "8.0", "F", "right", "ball girth", "9 11/16", "in"), ""},
      {row(4, "A", "8", "F", "left", "instep girth", "25.6", "cm"), ""},
      {row(5, "B", "4", "F", "left", "ball girth", "246", "mm"), "no size \"4\"; it goes from 5 to 13"},
      {row(6, "B", "8.25", "F", "left", "ball girth", "246", "mm"), "no size \"8.25\""},
      {row(7, "B", "8", "K", "left", "ball girth", "246", "mm"), "no width \"K\""},
      {row(8, "B", "8", "F", "links", "ball girth", "246", "mm"), "left or right"},
      {row(9, "B", "8", "F", "left", "bal girth", "246", "mm"), "did you mean \"ball girth\""},
      {row(10, "B", "8", "F", "left", "ball girth", "246", ""), "no unit"},
      {row(11, "B", "8", "F", "left", "ball girth", "246", "m"), "unit is \"m\""},
      {row(12, "B", "8", "F", "left", "ball girth", "246,5", "mm"), "comma"},
      {row(13, "B", "8", "F", "left", "ball girth", "about 246", "mm"), "not a number"},
      {row(14, "B", "8", "F", "left", "ball girth", "", "mm"), "not a number"},
      {row(15, "B", "8", "F", "left", "ball girth", "24.6", "mm"),
       "246 mm, the decimal point one place on, could"},
      {row(16, "B", "8", "F", "left", "ball girth", "-246", "mm"), "cannot be the ball girth"},
      {row(17, "B", "8", "F", "left", "ball girth", "1e300", "mm"), "not a number"},
      {row(30, "B", "8", "F", "left", "ball girth", "999999999.999999999", "in"), "more digits"},
      {row(18, "A", "8", "F", "left", "ball girth", "246", "mm"), ""},
      {row(19, "A", "8", "F", "left", "ball girth", "246", "mm", "T2"), ""},
      {row(20, "A", "8", "G", "left", "ball girth", "246", "mm", "T3"), "in line 2"},
      {row(21, "A", "9", "F", "left", "ball girth", "246", "mm", "T3"), "in line 2"},
      {row(22, "", "8", "F", "left", "ball girth", "246", "mm"), "no id"},
      {row(23, "C", "8", "f", "Left", "Ball Girth", "9 23/32\"", ""), ""},
      {row(24, "C", "8", "F", "R", "ball girth", "9 23/32", "Inch"), ""},
      {row(25, "C", "8", "F", "R", "instep girth", "256 mm", "MM"), ""},
      {row(26, "C", "8", "F", "R", "instep girth", "256 mm", "in"), "in and mm"}};
  std::vector<ReadingRow> rows;
  for (const Case& one : cases) rows.push_back(one.row);
  const CheckedReadings checked = check_readings(rows, style.table, style.run);
  std::size_t bad = 0;
  std::size_t good = 0;
  for (const Case& one : cases) {
    INFO("line " << one.row.line);
    if (*one.says == '\0') {
      REQUIRE(good < checked.readings.size());
      CHECK(checked.readings[good++].line == one.row.line);
      continue;
    }
    REQUIRE(bad < checked.bad_rows.size());
    const Problem& problem = checked.bad_rows[bad++];
    INFO(problem.message);
    CHECK(problem.place.line == one.row.line);
    CHECK(problem.message.find(one.says) != std::string::npos);
  }
  CHECK(bad == checked.bad_rows.size());
  CHECK(good == checked.readings.size());
  CHECK(checked.readings[1].value == Approx(9.6875 * 25.4));
  CHECK(checked.readings[2].value == Approx(256.0));
  REQUIRE(checked.readings.size() >= 3);
  CHECK(checked.readings.back().value == Approx(256.0));
  CHECK(checked.readings[checked.readings.size() - 2].value == Approx(9.71875 * 25.4));
  CHECK(checked.readings[checked.readings.size() - 3].value == Approx(9.71875 * 25.4));
}

TEST_CASE("readings know the step that their gauge is read to", "[readings]") {
  const SmallStyle style;
  const CheckedReadings checked =
      check_readings({row(2, "A", "8", "F", "left", "ball girth", "246.5", "mm", "T1"),
                      row(3, "A", "8", "F", "left", "instep girth", "256", "mm", "T1"),
                      row(4, "A", "8", "F", "right", "ball girth", "24.7", "cm", "T2"),
                      row(5, "A", "8", "F", "right", "instep girth", "256.31", "mm", "T3"),
                      row(6, "A", "8", "F", "right", "ball girth", "9 23/32", "in", "T1")},
                     style.table, style.run);
  REQUIRE(checked.readings.size() == 5);
  const double wanted[] = {0.5, 0.5, 1.0, 0.01, 25.4 / 32.0};
  for (std::size_t i = 0; i < 5; ++i) CHECK(checked.readings[i].step == Approx(wanted[i]));
}

TEST_CASE("values that coincide are as uncertain as what they are rounded to", "[readings]") {
  // A uniform distribution of width 0.5 has the standard deviation 0.5 / sqrt(12), and 95 % of it lie within
  // 0.95 of its half width. Student's t for 3 degrees of freedom, 0.975: 3.182446 (printed tables: 3.182).
  const std::vector<double> same(4, 7.0);
  const Summary counted = summarise(same, 0.95, 0.5);
  const double half = std::hypot(3.182446 * 0.5 / std::sqrt(12.0) / 2.0, 0.95 * 0.25);
  CHECK(counted.mean_high - 7.0 == Approx(half).epsilon(1e-6));
  CHECK(7.0 - counted.mean_low == Approx(half).epsilon(1e-6));
  CHECK(counted.spread == 0.0);
  CHECK(counted.spread_high > 0.5);
  // Where the values scatter over more than a step, nothing is added.
  const std::vector<double> wide{6.0, 7.0, 8.0, 6.5, 7.5};
  CHECK(summarise(wide, 0.95, 0.5).mean_high == Approx(summarise(wide, 0.95).mean_high).epsilon(1e-6));
}

TEST_CASE("what lies beyond a limit is a finding", "[batch]") {
  const SmallStyle style;
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{2.0, 2.0, "test"});
  auto plan = test::BatchPlan{};
  plan.last_spread = plan.tape_spread = 0.1;
  plan.fault = [](const Reading& one) {
    return one.id == "P1007" && one.foot == Foot::kRight && one.measure == 2 ? 3.0 : 0.0;
  };
  const BatchReport report = judge_batch(make_batch(style, plan, 5), style.table, style.run, limits);
  REQUIRE(report.findings.size() == 2);
  CHECK(report.findings[0].kind == Finding::Kind::kReading);
  CHECK(report.findings[0].text.starts_with("P1007 right, stamped 8 E: instep girth "));
  CHECK(report.findings[0].text.find(
            "mm over the table (limit 1.50) by T1; nothing else that was read is like it") !=
        std::string::npos);
  CHECK(report.findings[1].kind == Finding::Kind::kPair);
  CHECK(report.findings[1].text.find("mm under the right's (limit 2.00)") != std::string::npos);
  CHECK_FALSE(report.all_good());

  // A gauge that reads 3 mm more puts half the batch beyond: told once, and counted once a measure.
  plan.fault = [](const Reading& one) { return one.gauge == "T2" ? 3.0 : 0.0; };
  const BatchReport gauge = judge_batch(make_batch(style, plan, 5), style.table, style.run, limits);
  REQUIRE(gauge.findings.size() == 4);
  CHECK(gauge.findings[0].kind == Finding::Kind::kGauge);
  CHECK(gauge.findings[0].text.starts_with("the gauge \"T2\" reads "));
  CHECK(gauge.findings[0].text.find("less likely") != std::string::npos);
  CHECK(gauge.findings[1].text ==
        "30 readings of the stick length beyond the limit, as the findings above explain");
}

TEST_CASE("a verdict knows what the reading was noted to", "[readings]") {
  const Limit limit{0.5, 1.0, "test"};
  // Noted as 1 mm over to whole millimetres: anything from 0.5 to 1.5 mm over.
  CHECK(verdict_of(-1.0, limit, 1.0) == Verdict::kWithin);
  CHECK(verdict_of(-1.1, limit, 1.0) == Verdict::kBelow);
  CHECK(verdict_of(1.5, limit, 1.0) == Verdict::kWithin);
  CHECK(verdict_of(1.6, limit, 1.0) == Verdict::kAbove);
  CHECK(verdict_of(1.1, limit) == Verdict::kAbove);
  CHECK(verdict_of(99.0, std::nullopt) == Verdict::kNoLimit);
}

TEST_CASE("limits are the user's own, or say that they are defaults", "[readings]") {
  const LimitRequest both = *parse_limit("ball girth 1/16 in");
  CHECK(both.measure == "ball girth");
  CHECK(both.limit.below == Approx(1.5875));
  const LimitRequest sides = *parse_limit("stick length -1 +2.5 mm");
  CHECK(sides.limit.below == 1.0);
  CHECK(sides.limit.above == 2.5);
  for (const char* text : {"", "ball girth", "1 mm", "ball girth 1", "ball girth 1 2 mm", "ball girth -1 mm",
                           "ball girth +1 -2 mm", "ball girth 1,5 mm"}) {
    INFO(text);
    CHECK_FALSE(parse_limit(text));
  }
  const std::vector<std::string> measures{"stick length", "ball girth", "cuff"};
  const auto defaults = *ReferenceTables().find_limits("common");
  const std::vector<LimitRequest> asked{*parse_limit("ball girth 2 mm")};
  const auto limits = reading_limits(measures, defaults, asked, {});
  REQUIRE(limits);
  CHECK(limits->value[0]->above == 1.5);
  CHECK(limits->value[0]->source.find("derived") != std::string::npos);
  CHECK(limits->value[1]->above == 2.0);
  CHECK_FALSE(limits->value[2]);
  CHECK(limits->pair[1]->above == 4.0);
  const std::vector<LimitRequest> unknown{*parse_limit("bal girth 2 mm")};
  CHECK(reading_limits(measures, defaults, unknown, {}).problem().message.find("ball girth") !=
        std::string::npos);
  const std::vector<LimitRequest> every{*parse_limit("* 3 mm")};
  CHECK(reading_limits(measures, defaults, every, {})->value[2]->above == 3.0);
}
