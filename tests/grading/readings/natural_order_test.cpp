#include "grading/readings/natural_order.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <vector>

#include "grading/readings/batch_layout.hpp"
#include "tests/support/readings_plans.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("ids stand in the order in which people count", "[readings]") {
  const std::vector<std::string> counted{"",
                                         "2",
                                         "10",
                                         "A-2",
                                         "A-2b",
                                         "A-10",
                                         "P02",
                                         "P2",
                                         "P2/9",
                                         "P2/11",
                                         "P10",
                                         "P10.1",
                                         "P99",
                                         "P100",
                                         "P1000",
                                         "p1",
                                         "\xC3\xA9"
                                         "2"};
  std::vector<std::string> sorted(counted.rbegin(), counted.rend());
  std::sort(sorted.begin(), sorted.end(), NaturalOrder{});
  CHECK(sorted == counted);
  // No number is too long for it, and no text is taken for another.
  const NaturalOrder before;
  const std::string nines(40, '9');
  CHECK(before(nines, "1" + std::string(40, '0')));
  for (const std::string& a : counted) {
    for (const std::string& b : counted) CHECK((before(a, b) || before(b, a)) == (a != b));
  }
}

TEST_CASE("lasts and gauges of a batch are listed as they are counted", "[readings]") {
  const SmallStyle style;
  std::vector<Reading> readings;
  for (const int number : {10, 9, 1, 2, 11}) {
    for (const Foot foot : {Foot::kRight, Foot::kLeft}) {
      Reading one;
      one.id = "P" + std::to_string(number);
      one.foot = foot;
      one.stamped = style.at("8", "F");
      one.measure = 1;
      one.value = style.table.value(1, one.stamped);
      one.gauge = "tape " + std::to_string(number);
      readings.push_back(one);
    }
  }
  const BatchLayout layout = lay_out(readings, style.table);
  std::vector<std::string> lasts;
  for (const auto& [id, foot] : layout.lasts) lasts.push_back(id + (foot == Foot::kLeft ? " l" : " r"));
  CHECK(lasts == std::vector<std::string>{"P1 l", "P1 r", "P2 l", "P2 r", "P9 l", "P9 r", "P10 l", "P10 r",
                                          "P11 l", "P11 r"});
  CHECK(layout.tapes == std::vector<std::string>{"tape 1", "tape 2", "tape 9", "tape 10", "tape 11"});
}
