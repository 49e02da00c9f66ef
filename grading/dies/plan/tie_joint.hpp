// A lower bound of what pieces joined by seams need together, stronger than the sum of what each needs.
//
// The linear relaxation of the whole choice: a price for each group and demand, and prices on
// the seams. On each seam and demand the mates' choices are ordered by the length of the seam's
// edge; a choice matches an interval of the other side's, so the first k of one side can be
// used no more than what reaches up to their last match. Each such row has a price of at least
// 0 that makes choices dearer on one side and cheaper on the other. Whatever the prices, the
// sum of the demands' prices, less what dies earn beyond their cost, is below every solution
// (weak duality). Steps of prices and of what the relaxation uses at them, each answering the other
// (primal-dual hybrid gradient, begun anew at the mean of what they went through), come near to the greatest
// such sum: within a few thousandths. It needs no exact solution of anything.
#pragma once

#include <cstdint>
#include <vector>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// Pieces that are chosen as one.
struct JointGroup {
  std::vector<CoverColumn> columns;      // rows: demands, ascending
  std::vector<std::uint32_t> candidate;  // by column
};

// A seam between pieces of two groups.
struct JointSeam {
  const TieSeam* seam = nullptr;
  std::size_t one = 0;  // groups
  std::size_t other = 0;
};

struct JointBound {
  double bound = 0.0;  // every solution costs at least this; rounding is taken off
  // By group, column and row of the column: how much of the demand the relaxation serves by it, about. What
  // it hardly uses is seldom in a good solution.
  std::vector<std::vector<std::vector<double>>> use;
};

// `aim`: the cost of a solution that is known. The search ends when the bound reaches it.
JointBound joint_bound(const TieProblem& problem, const std::vector<JointGroup>& groups,
                       const std::vector<JointSeam>& seams, double aim, int most_steps = 3000);

// A bound of these pieces' dies, less its rounding. Whole costs, as dies are counted, add up to a whole
// number: it is then the next one.
double whole_bound(const TieProblem& problem, const std::vector<std::size_t>& pieces, double bound);

}  // namespace lastwright
