#include "grading/readings/gauge_step.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "grading/readings/readings.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/synthetic_readings.hpp"

using namespace lastwright;
using lastwright::test::SmallStyle;

namespace {

ReadingRow ball_girth(long line, const std::string& value, const char* unit) {
  return {line, fmt::format("P{}", line), "8", "F", "left", "ball girth", value, unit, "T"};
}

}  // namespace

TEST_CASE("a reading that is noted finer than the rest of its gauge changes nothing for the others",
          "[readings][law]") {
  const SmallStyle style;
  test::holds_for_all("a few finer readings", [&] {
    const bool inches = *rc::gen::arbitrary<bool>();
    const std::int64_t parts =
        inches ? *rc::gen::element<std::int64_t>(16, 32) : *rc::gen::element<std::int64_t>(2, 10);
    const int count = *rc::gen::inRange(40, 90);
    std::vector<ReadingRow> rows;
    for (int i = 0; i < count; ++i) {
      const std::int64_t whole = inches ? 9 * parts : 240 * parts;
      // Half of them show that the tape is read so finely.
      const std::int64_t part = whole + (i % 2 == 0 ? 2 * *rc::gen::inRange<std::int64_t>(0, 3) + 1
                                                    : *rc::gen::inRange<std::int64_t>(0, 7));
      const std::string value =
          inches ? to_mixed(Fraction(part, parts))
                 : fmt::format("{}", static_cast<double>(part) / static_cast<double>(parts));
      rows.push_back(ball_girth(2 + i, value, inches ? "in" : "mm"));
    }
    const double step = (inches ? 25.4 : 1.0) / static_cast<double>(parts);
    const int fine = *rc::gen::inRange(0, 3);
    for (int i = 0; i < fine; ++i) {
      const int at = *rc::gen::inRange(0, count);
      rows[static_cast<std::size_t>(at)].value = inches ? "9.566" : "246.37";
    }
    const CheckedReadings checked = check_readings(rows, style.table, style.run);
    RC_ASSERT(checked.readings.size() == rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const bool finer = rows[i].value == "9.566" || rows[i].value == "246.37";
      const double own = checked.readings[i].step;
      RC_ASSERT((finer ? own < 0.5 * step : std::abs(own - step) < 1e-12));
    }
  });
  // Nor does a single one among few, where the others show that they are read to a coarser step.
  test::holds_for_all("one finer reading among a few", [&] {
    const int count = *rc::gen::inRange(4, 12);
    std::vector<ReadingRow> few;
    for (int i = 0; i < count; ++i)
      few.push_back(ball_girth(2 + i,
                               i % 2 == 0 ? *rc::gen::element<std::string>("246.5", "247.5")
                                          : *rc::gen::element<std::string>("246", "247.5"),
                               "mm"));
    const auto steps = [&] {
      std::vector<double> made;
      for (const Reading& one : check_readings(few, style.table, style.run).readings)
        made.push_back(one.step);
      return made;
    };
    std::vector<double> wanted = steps();
    few.push_back(ball_girth(2 + count, "246.3", "mm"));
    wanted.push_back(0.1);
    const std::vector<double> found = steps();
    for (std::size_t i = 0; i < wanted.size(); ++i) RC_ASSERT(std::abs(found[i] - wanted[i]) < 1e-12);
  });
  // One in four is no slip: the tape is read as finely as that.
  std::vector<ReadingRow> rows;
  for (int i = 0; i < 80; ++i) rows.push_back(ball_girth(2 + i, i % 4 == 0 ? "246.3" : "246.5", "mm"));
  for (const Reading& one : check_readings(rows, style.table, style.run).readings)
    CHECK(one.step == Approx(0.1));
}
