#include "grading/dies/plan/tie_forced.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/blob.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

bool kept(const TieProblem& problem, const std::vector<std::vector<std::uint32_t>>& die_of) {
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    for (const std::vector<std::uint32_t>& set : problem.pieces[p].forced) {
      for (const std::uint32_t d : set) {
        if (die_of[p][d] != die_of[p][set.front()]) return false;
      }
    }
  }
  return true;
}

double all_forced_tried(const TieProblem& problem) {
  return least_of_all(problem, [&](const DieOfPieces& die_of) { return kept(problem, die_of); });
}

std::vector<std::vector<std::uint32_t>> dies_of(const TieSolution& solution) {
  std::vector<std::vector<std::uint32_t>> die_of;
  for (const PieceTies& ties : solution.pieces) die_of.push_back(ties.die_of);
  return die_of;
}

}  // namespace

TEST_CASE("a forced tie is kept wherever any assignment keeps it, and only there", "[tie_forced]") {
  Dice dice(41);
  int possible = 0;
  int impossible = 0;
  int dearer = 0;
  for (int round = 0; round < 60; ++round) {
    TieProblem problem;
    problem.demands = 4;
    for (const char* name : {"vamp", "quarter", "lining"})
      problem.pieces.push_back(row_piece(name, 4, dice(0.5, 2.2)));
    const double growth = dice(0.2, 1.0);
    for (const auto& [one, other] : {std::pair{0, 1}, std::pair{1, 2}, std::pair{2, 0}}) {
      problem.seams.push_back({"seam", static_cast<std::size_t>(one), static_cast<std::size_t>(other),
                               growing(4, 50, growth), growing(4, 50, growth), 0.0, dice(0.05, 0.6)});
    }
    const TieSolution free = solve_ties(problem);
    TieProblem wanted = problem;  // as the brute force reads it
    const std::vector<std::uint32_t> set =
        round % 2 == 0 ? std::vector<std::uint32_t>{1, 2} : std::vector<std::uint32_t>{0, 1, 2};
    for (const std::size_t p : {std::size_t{0}, std::size_t{1}}) wanted.pieces[p].forced.push_back(set);
    const double optimum = all_forced_tried(wanted);
    const std::vector<ForcedMiss> misses = force_ties(problem, {{{0, 1}, {set}}});
    CHECK(misses.empty() == (optimum < 1e299));
    for (const ForcedMiss& miss : misses) CHECK(miss.trouble != ForcedTrouble::kNotFound);
    const TieSolution solution = solve_ties(problem);
    CHECK(kept(problem, dies_of(solution)));
    for (std::size_t d = 0; d < 4; ++d) CHECK(seams_hold_at(problem, dies_of(solution), d));
    CHECK(cost_of(problem, dies_of(solution)) == Approx(solution.cost));
    if (!misses.empty()) {
      ++impossible;
      CHECK(solution.cost == Approx(free.cost));
      continue;
    }
    ++possible;
    CHECK(solution.bound <= optimum + 1e-9);
    CHECK(solution.cost >= optimum - 1e-9);
    if (solution.proven) CHECK(solution.cost == Approx(optimum));
    dearer += solution.cost > free.cost + 1e-9 ? 1 : 0;
  }
  INFO(possible << " possible, " << impossible << " not, " << dearer << " dearer than without");
  CHECK(possible >= 15);
  CHECK(impossible >= 15);
}

TEST_CASE("what of a forced tie cannot be kept is named with its reason", "[tie_forced]") {
  TieProblem problem;
  problem.demands = 8;
  problem.pieces = {row_piece("vamp", 8, 0.9), row_piece("quarter", 8, 0.9), row_piece("lining", 8, 1.6)};
  problem.seams = {{"wing", 0, 1, growing(8, 60, 1.0), growing(8, 60, 1.0), 0.0, 0.1},
                   {"top line", 1, 2, growing(8, 80, 1.0), growing(8, 80, 1.0), 0.0, 0.1}};
  const std::vector<std::uint32_t> two{2, 3};
  SECTION("the lining follows at the same place") {
    CHECK(force_ties(problem, {{{0, 1}, {two}}}).empty());
    const TieSolution solution = solve_ties(problem);
    for (const PieceTies& ties : solution.pieces) CHECK(ties.die_of[2] == ties.die_of[3]);
  }
  SECTION("tolerance") {
    const auto misses = force_ties(problem, {{{2}, {{2, 3, 4}}}});
    REQUIRE(misses.size() == 1);
    CHECK(misses[0].trouble == ForcedTrouble::kTolerance);
    CHECK(misses[0].piece == 2);
    CHECK(misses[0].value == Approx(1.6));  // the die of the middle size
  }
  SECTION("a mate that has no such die") {
    problem.pieces[2].may_tie = false;
    const auto misses = force_ties(problem, {{{0, 1}, {two, {5, 6}}}});
    REQUIRE(misses.size() == 2);
    CHECK(misses[1].set == 1);
    CHECK(misses[0].trouble == ForcedTrouble::kSeam);
    CHECK(misses[0].seam == 1);
    CHECK(misses[0].value == Approx(0.5));  // half a step to either size's own lining
    problem.seams[1].limit = 0.5;
    CHECK(force_ties(problem, {{{0, 1}, {two}}}).empty());
  }
  SECTION("tooling groups, and pieces that are not tied") {
    problem.pieces[0].group = {0, 0, 0, 1, 1, 1, 1, 1};
    CHECK(force_ties(problem, {{{0}, {two}}}).at(0).trouble == ForcedTrouble::kTooling);
    problem.pieces[1].may_tie = false;
    CHECK(force_ties(problem, {{{1}, {two}}}).at(0).trouble == ForcedTrouble::kNotTied);
  }
}
