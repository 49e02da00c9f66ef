// Of choices that cost the same the one with the fewest dies to stamp anew.
#include "grading/dies/plan/tie_stamps.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <tuple>

#include "grading/dies/plan/tie_apart.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// A die that is there stands in one tooling group: it is one thing.
bool in_one_group(const TieProblem& problem, const DieOfPieces& die_of) {
  for (std::size_t p = 0; p < die_of.size(); ++p) {
    const TiePiece& piece = problem.pieces[p];
    for (std::size_t d = 0; d < die_of[p].size() && !piece.group.empty(); ++d) {
      for (std::size_t e = 0; e < d; ++e) {
        if (die_of[p][d] == die_of[p][e] && die_of[p][d] >= piece.first_owned &&
            piece.group[d] != piece.group[e])
          return false;
      }
    }
  }
  return true;
}

int all_restamps(const TieProblem& problem, const DieOfPieces& die_of) {
  int count = 0;
  for (std::size_t p = 0; p < die_of.size(); ++p) count += restamps_of(problem.pieces[p], die_of[p]);
  return count;
}

// Some of the piece's places are there as dies. `parted`: as one order left them, each size stamped on one
// die.
std::vector<std::uint32_t> add_stamped_dies(TiePiece& piece, bool parted, Dice& dice) {
  std::vector<std::uint32_t> copied;
  const std::size_t places = piece.serves.size();
  piece.first_owned = places;
  piece.stamps.resize(places);
  std::vector<bool> stamped(piece.own.size(), false);
  for (std::uint32_t c = 0; c < places; ++c) {
    if (dice(0.0, 1.0) > 0.45) continue;
    TieStamp stamp;
    for (const Serves& serves : piece.serves[c]) {
      if (serves.ratio > 1.0 || (parted && stamped[serves.demand]) || dice(0.0, 1.0) > 0.7) continue;
      stamp.bears.push_back(serves.demand);
      stamped[serves.demand] = true;
    }
    stamp.changed = dice(0.0, 1.0) < 0.1 ? 0 : dice(0.0, 1.0) < 0.5 ? 1 : 2;  // one, a pair, or not known
    stamp.kept = stamp.changed > 0 && dice(0.0, 1.0) < 0.1 ? 1 : 0;
    copied.push_back(c);
    const std::vector<Serves> serves = piece.serves[c];
    piece.serves.push_back(serves);
    piece.cost.push_back(dice(0.0, 1.0) < 0.2 ? 1.0 : 0.0);  // the other foot's is to be made
    piece.stamps.push_back(std::move(stamp));
  }
  return copied;
}

std::vector<double> lengths_with(std::vector<double> lengths, const std::vector<std::uint32_t>& copied) {
  for (const std::uint32_t c : copied) {
    const double length = lengths[c];
    lengths.push_back(length);
  }
  return lengths;
}

}  // namespace

TEST_CASE("no choice of the same cost has fewer dies to stamp anew, by every assignment", "[tie_stamps]") {
  Dice dice(31);
  int fewer = 0;
  int proven = 0;
  int some = 0;
  int rounds = 0;
  const int kRounds = law_rounds(20);
  for (int round = 0; round < kRounds; ++round) {
    TieProblem problem;
    problem.demands = round % 5 >= 3 ? 5 : 3;
    const bool parted = round % 3 != 0;
    const double cost = round % 2 == 0 ? 2.0 : 2.35;
    std::vector<std::vector<std::uint32_t>> copied;
    for (const char* name : {"vamp", "tongue"}) {
      problem.pieces.push_back(row_piece(name, problem.demands, dice(0.35, 1.2), cost));
      copied.push_back(add_stamped_dies(problem.pieces.back(), parted, dice));
    }
    if (round % 5 == 0) problem.pieces[0].group = {0, 0, 1};
    if (round % 5 < 3)
      problem.seams.push_back({"seam", 0, 1, lengths_with(growing(problem.demands, 60, 1.0), copied[0]),
                               lengths_with(growing(problem.demands, 60, 1.0), copied[1]), 0.0,
                               dice(0.2, 1.2)});
    if (round % 5 >= 3) problem.pieces.pop_back();
    INFO("round " << round);
    std::size_t name = 0;
    for (TiePiece& piece : problem.pieces) {
      piece.there.resize(piece.cost.size());
      piece.spared.assign(piece.cost.size(), 0.0);
      for (std::size_t c = piece.first_owned; c < piece.cost.size(); ++c) {
        piece.there[c] = {name++};
        piece.spared[c] = cost - piece.cost[c];
      }
    }
    std::pair<double, int> least{1e300, 0};
    least_of_all(problem, [&](const DieOfPieces& of) {
      const std::pair<double, int> one{std::round(1e6 * cost_of(problem, of)), all_restamps(problem, of)};
      if (in_one_group(problem, of)) least = std::min(least, one);
      return true;
    });
    TieProblem struck = problem;
    const TieSolution solution = solve_apart(struck);
    if (!solution.apart.empty()) continue;  // which group a die is left to is not sought further
    ++rounds;
    DieOfPieces die_of;
    for (const PieceTies& ties : solution.pieces) die_of.push_back(ties.die_of);
    for (std::size_t d = 0; d < problem.demands; ++d) CHECK(seams_hold_at(problem, die_of, d));
    CHECK(cost_of(problem, die_of) == Approx(solution.cost));
    CHECK(all_restamps(problem, die_of) == solution.restamps);
    REQUIRE(1e6 * solution.cost == Approx(least.first));  // small cases are solved
    CHECK(solution.restamps == least.second);
    CHECK(solution.restamps_at_least <= least.second);
    proven += solution.restamps_at_least == least.second ? 1 : 0;
    some += least.second > 0 ? 1 : 0;
    TieProblem blind = problem;
    for (TiePiece& piece : blind.pieces) piece.stamps.clear();
    const TieSolution unstamped = solve_apart(blind);
    DieOfPieces before;
    for (const PieceTies& ties : unstamped.pieces) before.push_back(ties.die_of);
    fewer += all_restamps(problem, before) > solution.restamps ? 1 : 0;
    // The same again: nothing is thrown.
    const TieSolution again = solve_apart(struck);
    for (std::size_t p = 0; p < problem.pieces.size(); ++p)
      CHECK(again.pieces[p].die_of == solution.pieces[p].die_of);
  }
  INFO(fewer << " with fewer than without, " << some << " with any, " << proven << " proven");
  CHECK(fewer > 6);
  CHECK(some > 4);
  CHECK(rounds > kRounds * 3 / 4);
  CHECK(proven == rounds);
}
