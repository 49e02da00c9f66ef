#include "grading/dies/plan/tie_cover.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/blob.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using lastwright::test::Dice;

namespace {

// Every subset of the columns, the plain way.
double brute_force(std::size_t rows, const std::vector<CoverColumn>& columns) {
  double best = 1e300;
  for (std::uint32_t set = 0; set < (1u << columns.size()); ++set) {
    std::uint32_t served = 0;
    double cost = 0.0;
    for (std::size_t c = 0; c < columns.size(); ++c) {
      if ((set >> c & 1u) == 0) continue;
      cost += columns[c].cost;
      for (const std::uint32_t r : columns[c].rows) served |= 1u << r;
    }
    if (served == (1u << rows) - 1) best = std::min(best, cost);
  }
  return best;
}

void check_prices(std::size_t rows, const std::vector<CoverColumn>& columns, double optimum) {
  const std::vector<double> prices = row_prices(rows, columns);
  double total = 0.0;
  for (const double p : prices) {
    CHECK(p >= 0.0);
    total += p;
  }
  for (const CoverColumn& column : columns) {
    double sum = 0.0;
    for (const std::uint32_t r : column.rows) sum += prices[r];
    CHECK(sum <= column.cost + 1e-9);
  }
  CHECK(total <= optimum + 1e-7);
}

}  // namespace

TEST_CASE("the cheapest cover is that of trying every choice", "[cover]") {
  Dice dice(3);
  for (int round = 0; round < 150; ++round) {
    const std::size_t rows = 4 + static_cast<std::size_t>(round % 8);
    std::vector<CoverColumn> columns;
    const int count = 8 + round % 7;
    for (int c = 0; c < count; ++c) {
      CoverColumn column;
      column.cost = round % 3 == 0 ? 1.0 : (round % 3 == 1 ? std::floor(dice(1, 5)) : dice(0.5, 3.0));
      if (round % 5 == 0 && c == 0) column.cost = 0.0;  // a die that is there already
      for (std::uint32_t r = 0; r < rows; ++r) {
        if (dice(0, 1) < 0.3) column.rows.push_back(r);
      }
      columns.push_back(column);
    }
    const double optimum = brute_force(rows, columns);
    const Cover cover = cheapest_cover(rows, columns);
    if (optimum > 1e299) {
      CHECK_FALSE(cover.possible);
      continue;
    }
    REQUIRE(cover.possible);
    CHECK(cover.proven);
    CHECK(cover.cost == Approx(optimum));
    CHECK(cover.bound == Approx(optimum));
    double cost = 0.0;
    std::vector<bool> served(rows, false);
    for (const std::uint32_t c : cover.chosen) {
      cost += columns[c].cost;
      for (const std::uint32_t r : columns[c].rows) served[r] = true;
    }
    CHECK(cost == Approx(cover.cost));
    CHECK(std::count(served.begin(), served.end(), true) == static_cast<long>(rows));
    check_prices(rows, columns, optimum);
  }
}

TEST_CASE("a row that nothing serves is told, not skipped", "[cover]") {
  CHECK_FALSE(cheapest_cover(3, {{1.0, {0, 1}}}).possible);
}

TEST_CASE("a run of 17 sizes in 5 widths with dies that serve neighbours is solved to the optimum",
          "[cover]") {
  // Dies on a grid of half steps; each serves what lies within an ellipse of (size, width) offsets.
  for (const double reach : {0.6, 1.1, 1.6, 2.2}) {
    std::vector<CoverColumn> columns;
    for (int i = 0; i <= 32; ++i) {
      for (int j = 0; j <= 8; ++j) {
        CoverColumn column;
        for (std::uint32_t s = 0; s < 17; ++s) {
          for (std::uint32_t w = 0; w < 5; ++w) {
            const double ds = s - 0.5 * i;
            const double dw = 1.3 * (w - 0.5 * j);
            if (ds * ds + dw * dw <= reach * reach) column.rows.push_back(s * 5 + w);
          }
        }
        columns.push_back(column);
      }
    }
    const Cover cover = cheapest_cover(85, columns);
    INFO("reach " << reach << " cost " << cover.cost << " bound " << cover.bound << " states "
                  << cover.states);
    CHECK(cover.proven);
    check_prices(85, columns, cover.cost);
  }
}
