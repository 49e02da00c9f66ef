#include "grading/dies/plan/tie_inside.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <numeric>

#include "grading/dies/plan/tie_own.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

void put_outside(TiePiece& piece, Dice& dice) {
  piece.outside.assign(piece.cost.size(), false);
  for (std::size_t c = 0; c < piece.cost.size(); ++c)
    piece.outside[c] =
        std::find(piece.own.begin(), piece.own.end(), c) == piece.own.end() && dice(0, 1) < 0.6;
}

std::size_t all_outside(const TieProblem& problem, const TieSolution& solution) {
  std::vector<std::size_t> pieces(problem.pieces.size());
  std::iota(pieces.begin(), pieces.end(), std::size_t{0});
  return dies_outside(problem, solution, pieces);
}

TieProblem told_apart_no_more(TieProblem problem) {
  for (TiePiece& piece : problem.pieces) piece.outside.clear();
  return problem;
}

// Dies for two, each demand's own outline among them: `inside` and `beyond` by the demands that they serve.
TiePiece served_piece(const std::vector<std::vector<std::uint32_t>>& inside,
                      const std::vector<std::vector<std::uint32_t>>& beyond) {
  TiePiece piece;
  piece.name = "loop";
  for (const auto* list : {&inside, &beyond}) {
    for (const std::vector<std::uint32_t>& demands : *list) {
      piece.serves.emplace_back();
      for (const std::uint32_t d : demands) piece.serves.back().push_back({d, 0.5, 0.0, {}});
      piece.cost.push_back(1.0);
      piece.outside.push_back(list == &beyond);
    }
  }
  return piece;
}

}  // namespace

TEST_CASE("the dies of a piece are the fewest, and of these choices the one with the fewest outside",
          "[tie_inside]") {
  Dice dice(5);
  std::size_t needed = 0;
  std::size_t spared = 0;
  for (int round = 0; round < 40; ++round) {
    TieProblem problem;
    problem.demands = 5;
    problem.pieces = {row_piece("tongue", problem.demands, dice(0.4, 1.8))};
    put_outside(problem.pieces[0], dice);
    const TieSolution solution = solve_ties(problem);
    CHECK(solution.proven);
    TieProblem weighed = problem;  // a die outside counts for a hundredth more
    for (std::size_t c = 0; c < weighed.pieces[0].cost.size(); ++c)
      weighed.pieces[0].cost[c] += problem.pieces[0].outside[c] ? 0.01 : 0.0;
    const double least = least_of_all(weighed, [](const DieOfPieces&) { return true; });
    INFO("round " << round);
    const std::size_t outside = all_outside(problem, solution);
    CHECK(solution.cost + 0.01 * static_cast<double>(outside) == Approx(least));
    needed += outside;
    spared += all_outside(problem, solve_ties(told_apart_no_more(problem))) - outside;
  }
  CHECK(needed > 0);
  CHECK(spared > 0);
}

TEST_CASE("no die lies outside where pieces joined by seams cost no more without, and none costs more for it",
          "[tie_inside]") {
  Dice dice(7);
  int saving = 0;
  int without = 0;
  for (int round = 0; round < 60; ++round) {
    TieProblem problem;
    problem.demands = 6;
    for (const char* name : {"vamp", "toe cap", "tongue"}) {
      problem.pieces.push_back(row_piece(name, problem.demands, dice(0.4, 1.2)));
      put_outside(problem.pieces.back(), dice);
    }
    for (std::size_t mate : {0u, 2u})
      problem.seams.push_back({"seam", mate, 1, growing(problem.demands, 60, 1.0),
                               growing(problem.demands, 60, dice(0.5, 1.5)), 0.0, dice(0.2, 1.5)});
    const TieSolution solution = solve_ties(problem);
    const TieSolution all = solve_ties(told_apart_no_more(problem));
    const TieSolution inside = solve_ties(told_apart_no_more(*without_outside(problem)));
    INFO("round " << round);
    CHECK(solution.cost <= all.cost + 1e-9);
    CHECK(solution.cost <= inside.cost + 1e-9);
    CHECK(solution.bound <= all.cost + 1e-9);
    CHECK(solution.proven == (solution.cost <= solution.bound + 1e-9));
    for (const TieSeam& seam : problem.seams) {
      for (std::uint32_t d = 0; d < problem.demands; ++d)
        CHECK(seam_mismatch(seam, solution.pieces[seam.one].die_of[d],
                            solution.pieces[seam.other].die_of[d]) <= seam_limit_of(problem, seam, d));
    }
    const std::size_t outside = all_outside(problem, solution);
    CHECK((outside == 0 || solution.cost < inside.cost - 1e-9));
    double cost = 0.0;
    for (std::size_t p = 0; p < problem.pieces.size(); ++p)
      cost += cost_of(problem.pieces[p], solution.pieces[p].dies);
    CHECK(cost == Approx(solution.cost));
    saving += outside > 0 ? 1 : 0;
    without += outside == 0 && all_outside(problem, all) > 0 ? 1 : 0;
  }
  CHECK(saving > 5);
  CHECK(without > 5);
}

TEST_CASE("a choice without dies outside is proven only where the search over all dies is", "[tie_inside]") {
  // Two rings of five: of pairs round a ring no fewer than three serve it, and two and a half would by
  // shares.
  TieProblem problem;
  problem.demands = 10;
  problem.pieces = {served_piece({{0, 1}, {2, 3}, {4}, {5, 6}, {7, 8}, {9}},
                                 {{1, 2}, {3, 4}, {0, 4}, {6, 7}, {8, 9}, {5, 9}})};
  problem.pieces[0].own = {0, 0, 1, 1, 2, 3, 3, 4, 4, 5};
  CoverOptions brief;
  brief.states = 0;  // what greed and shares tell without a search
  const TieSolution inside = solve_ties(told_apart_no_more(*without_outside(problem)), brief);
  CHECK((inside.proven && inside.cost == Approx(6.0)));
  const TieSolution unsearched = solve_ties(problem, brief);
  CHECK(unsearched.cost == Approx(6.0));
  CHECK(unsearched.bound == Approx(5.0));
  CHECK_FALSE(unsearched.proven);
  CHECK(unsearched.open.size() == 1);
  CHECK(all_outside(problem, unsearched) == 0);
  const TieSolution searched = solve_ties(problem);
  CHECK(searched.proven);
  CHECK(all_outside(problem, searched) == 0);
}

TEST_CASE("what a forced tie falls back on may lie outside, and does not where a die inside keeps it",
          "[tie_inside]") {
  TieProblem problem;
  problem.demands = 3;
  problem.pieces = {served_piece({{0}, {1}, {2}}, {{0, 1, 2}})};
  problem.pieces[0].own = {0, 1, 2};
  problem.pieces[0].forced = {{0, 1, 2}};
  problem.pieces[0].safe = {3, 3, 3};
  CHECK(all_outside(problem, solve_ties(problem)) == 1);
  problem.pieces[0] = served_piece({{0}, {1}, {2}, {0, 1, 2}}, {{0, 1, 2}});
  problem.pieces[0].own = {0, 1, 2};
  problem.pieces[0].forced = {{0, 1, 2}};
  problem.pieces[0].safe = {4, 4, 4};
  CHECK(all_outside(problem, solve_ties(problem)) == 0);
}
