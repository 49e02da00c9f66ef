// An order of a boot that is made in three sizes and two widths, read from a text.
#pragma once

#include <catch2/catch.hpp>
#include <string>

#include "grading/planning/order.hpp"

namespace lastwright::test {

inline SizeRun short_run() {
  SizeRun run;
  for (const char* label : {"7", "7.5", "8"}) run.sizes.push_back({0, label});
  for (const char* label : {"F", "G"}) run.widths.push_back({0, label});
  return run;
}

inline Order order_of(const std::string& csv, const WorksSpec& works = {}) {
  const Result<TextTable> table = parse_csv_table(csv, "order.csv");
  REQUIRE(table.ok());
  const Result<Order> order = read_order(*table, {{"boot", short_run()}}, works);
  REQUIRE(order.ok());
  return *order;
}

}  // namespace lastwright::test
