// The cheapest choice of dies that serves everything: exact set cover, with a proof.
//
// Lower bound: prices on the demands such that no die is worth more than it costs (a dual solution of the
// linear relaxation, improved by subgradient steps); the prices of all demands together bound every cover
// from below. Search: best-first over sets of served demands, always serving the first one that is not, with
// the prices of the rest as the estimate. Two choices that serve the same set are one state. The demands
// should come in an order in which dies serve neighbours (sizes outermost): then states are few.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace lastwright {

struct CoverColumn {
  double cost = 1.0;                // positive, or 0 for what is there already
  std::vector<std::uint32_t> rows;  // demands it serves
};

struct CoverOptions {
  std::size_t states = 400'000;  // the search gives up beyond this many and keeps what it proved
  bool jointly = true;           // of pieces joined by seams: see grading/dies/plan/tie_joint
  int rounds = 8000;             // of them too: see grading/dies/plan/tie_windows
};

struct Cover {
  bool possible = true;               // false: some row is in no column
  std::vector<std::uint32_t> chosen;  // columns, ascending
  double cost = 0.0;
  double bound = 0.0;      // proven: no cover costs less
  bool proven = false;     // cost == bound
  std::size_t states = 0;  // looked at
};

Cover cheapest_cover(std::size_t rows, const std::vector<CoverColumn>& columns,
                     const CoverOptions& options = {});

// A proof that can be checked without the search: prices >= 0 per row of which every column's rows add up to
// at most its cost. Their sum is a lower bound of every cover.
std::vector<double> row_prices(std::size_t rows, const std::vector<CoverColumn>& columns);

}  // namespace lastwright
