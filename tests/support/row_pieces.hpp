// Problems of ties on one row of sizes, for tests.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright::test {

// Candidates are the sizes and the places half way between: 2 n - 1 of them.
inline TiePiece row_piece(const std::string& name, std::size_t sizes, double ratio_per_step,
                          double cost = 1.0) {
  TiePiece piece;
  piece.name = name;
  const std::size_t candidates = 2 * sizes - 1;
  piece.cost.assign(candidates, cost);
  for (std::size_t c = 0; c < candidates; ++c) {
    std::vector<Serves> serves;
    for (std::uint32_t d = 0; d < sizes; ++d) {
      serves.push_back(
          {d, ratio_per_step * std::abs(static_cast<double>(d) - 0.5 * static_cast<double>(c)), 0.0, {}});
    }
    piece.serves.push_back(std::move(serves));
  }
  for (std::uint32_t d = 0; d < sizes; ++d) piece.own.push_back(2 * d);
  return piece;
}

inline std::vector<double> growing(std::size_t sizes, double start, double per_step) {
  std::vector<double> lengths;
  for (std::size_t c = 0; c < 2 * sizes - 1; ++c)
    lengths.push_back(start + 0.5 * per_step * static_cast<double>(c));
  return lengths;
}

inline bool seams_hold_at(const TieProblem& problem, const std::vector<std::vector<std::uint32_t>>& die_of,
                          std::size_t demand) {
  for (const TieSeam& seam : problem.seams) {
    const double off = std::abs(seam.other_length[die_of[seam.other][demand]] -
                                seam.one_length[die_of[seam.one][demand]] - seam.wanted);
    if (off > seam.limit) return false;
  }
  return true;
}

// A die of one tooling group is another than one drawn alike for another group.
inline double cost_of(const TieProblem& problem, const std::vector<std::vector<std::uint32_t>>& die_of) {
  double cost = 0.0;
  for (std::size_t p = 0; p < die_of.size(); ++p) {
    const TiePiece& piece = problem.pieces[p];
    std::set<std::pair<std::uint32_t, std::uint32_t>> used;
    for (std::size_t d = 0; d < die_of[p].size(); ++d)
      used.emplace(die_of[p][d], piece.group.empty() ? 0 : piece.group[d]);
    for (const auto& [c, tooling] : used) cost += piece.cost[c];
  }
  return cost;
}

using DieOfPieces = std::vector<std::vector<std::uint32_t>>;  // by piece and demand

// The least cost of all assignments of every piece that match at each demand and that `keeps` allows, one by
// one; 1e300 where there is none.
inline double least_of_all(const TieProblem& problem, const std::function<bool(const DieOfPieces&)>& keeps) {
  DieOfPieces die_of(problem.pieces.size(), std::vector<std::uint32_t>(problem.demands));
  double best = 1e300;
  const std::function<void(std::size_t, std::size_t)> assign = [&](std::size_t d, std::size_t p) {
    if (d == problem.demands) {
      if (keeps(die_of)) best = std::min(best, cost_of(problem, die_of));
      return;
    }
    if (p == problem.pieces.size()) {
      if (seams_hold_at(problem, die_of, d)) assign(d + 1, 0);
      return;
    }
    for (std::uint32_t c = 0; c < problem.pieces[p].serves.size(); ++c) {
      for (const Serves& serves : problem.pieces[p].serves[c]) {
        if (serves.demand != d || serves.ratio > problem.scale) continue;
        die_of[p][d] = c;
        assign(d, p + 1);
      }
    }
  };
  assign(0, 0);
  return best;
}

}  // namespace lastwright::test
