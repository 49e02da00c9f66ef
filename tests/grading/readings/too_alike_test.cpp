#include "grading/readings/too_alike.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"
#include "tests/support/synthetic_readings.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

ReadingLimits wide_limits() {
  ReadingLimits limits;
  limits.value.assign(3, Limit{2.0, 2.0, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  return limits;
}

std::string alike_told(const SmallStyle& style, const std::vector<Reading>& readings) {
  return too_alike(judge_batch(readings, style.table, style.run, wide_limits()));
}

// Half a millimetre, as batches are made.
std::vector<Reading> read_batch(const SmallStyle& style, double spread, std::uint64_t seed) {
  BatchPlan plan;
  plan.sizes = {"7", "8", "9"};
  plan.last_spread = 0.0;
  plan.tape_spread = spread;
  std::vector<Reading> readings = make_batch(style, plan, seed);
  for (Reading& one : readings) one.step = 0.5;
  return readings;
}

}  // namespace

TEST_CASE("readings copied from the table, or from the other hand, are told, and those read are not",
          "[batch][law]") {
  static const SmallStyle style;
  test::holds_for_all(
      "copied is told, read is not",
      [&] {
        const auto seed = static_cast<std::uint64_t>(*rc::gen::inRange(1, 1000));
        RC_ASSERT(alike_told(style, read_batch(style, *rc::gen::element(0.2, 0.3, 0.45), seed)).empty());
        const std::string copied = alike_told(style, read_batch(style, 0.0, seed));
        RC_ASSERT(copied.find("108 of 108 readings are the table's own value") != std::string::npos);
        RC_ASSERT(copied.find("left is noted as right in 54 of 54") != std::string::npos);
        // The rights are copied from the lefts.
        std::vector<Reading> readings = read_batch(style, 0.3, seed);
        for (std::size_t i = 0; i < readings.size(); i += 6) {
          for (std::size_t m = 0; m < 3; ++m) readings[i + 3 + m].value = readings[i + m].value;
        }
        const std::string other = alike_told(style, readings);
        RC_ASSERT(other.find("own value") == std::string::npos);
        RC_ASSERT(other.find("left is noted as right in 54 of 54") != std::string::npos);
      },
      2);
}

TEST_CASE("rows that say twice the same are named, whatever lies between them", "[readings]") {
  const SmallStyle style;
  std::vector<Reading> readings = read_batch(style, 0.3, 3);
  const std::size_t once = readings.size();
  CHECK(duplicate_rows(readings).empty());
  for (const std::size_t i : {std::size_t{4}, std::size_t{9}, std::size_t{4}}) {
    Reading again = readings[i];
    again.line = static_cast<long>(readings.size()) + 2;
    readings.push_back(again);
  }
  readings.push_back(readings[7]);  // the same last with another gauge, or to another figure: repeats
  readings.back().gauge = "T9";
  readings.push_back(readings[8]);
  readings.back().value += 0.5;
  const long end = static_cast<long>(once) + 2;
  using Lines = std::vector<std::pair<long, long>>;
  CHECK(duplicate_rows(readings) == Lines{{6, end}, {11, end + 1}, {6, end + 2}});
}
