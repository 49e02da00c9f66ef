#include "grading/dies/plan/tie_apart.hpp"

#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "grading/dies/plan/die_seams.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// Each die that is there in one tooling group of one piece at most.
bool none_shared(const TieProblem& problem, const DieOfPieces& die_of) {
  std::map<std::size_t, std::set<std::pair<std::size_t, std::uint32_t>>> places;
  for (std::size_t p = 0; p < die_of.size(); ++p) {
    const TiePiece& piece = problem.pieces[p];
    for (std::size_t d = 0; d < die_of[p].size(); ++d) {
      for (const std::size_t die : piece.there[die_of[p][d]])
        places[die].emplace(p, piece.group.empty() ? 0 : piece.group[d]);
    }
  }
  return std::all_of(places.begin(), places.end(), [](const auto& one) { return one.second.size() < 2; });
}

}  // namespace

TEST_CASE(
    "no die that is there is used for two pieces or two tooling groups, and the bound holds for all ways "
    "to use each for one",
    "[tie]") {
  Dice dice(7);
  int shared = 0;
  int proven = 0;
  int grouped = 0;
  for (int round = 0; round < 90; ++round) {
    TieProblem problem;
    problem.demands = 3;
    problem.scale = 1.0;
    const auto dies = static_cast<std::size_t>(1 + dice(0, 2.99));
    std::vector<std::vector<double>> ratio(dies);
    for (auto& of : ratio) {
      for (std::uint32_t d = 0; d < 3; ++d) of.push_back(dice(0, 2));
    }
    for (std::size_t p = 0; p < 2; ++p) {
      TiePiece piece =
          row_piece(p == 0 ? "outside" : "inside", 3, dice(0.4, 2.5), p == 0 || dice(0, 1) < 0.5 ? 2.0 : 1.0);
      piece.first_owned = piece.cost.size();
      piece.there.resize(piece.cost.size());
      piece.spared.assign(piece.cost.size(), 0.0);
      for (std::size_t k = 0; k < dies; ++k) {
        const double spared = piece.cost.front() > 1.0 && dice(0, 1) < 0.5 ? 1.0 : piece.cost.front();
        piece.there.push_back({k});
        piece.spared.push_back(spared);
        piece.cost.push_back(piece.cost.front() - spared);
        std::vector<Serves> serves;
        for (std::uint32_t d = 0; d < 3; ++d) {
          if (ratio[k][d] <= 1.0) serves.push_back({d, ratio[k][d], 0.0, {}});
        }
        piece.serves.push_back(std::move(serves));
      }
      if (round >= 60 && p == 0) piece.group = {0, 1, round % 2 == 0 ? 1u : 2u};
      problem.pieces.push_back(std::move(piece));
    }
    const double least =
        least_of_all(problem, [&](const DieOfPieces& of) { return none_shared(problem, of); });
    TieProblem struck = problem;
    const TieSolution solution = solve_apart(struck);
    DieOfPieces chosen;
    for (const PieceTies& one : solution.pieces) chosen.push_back(one.die_of);
    CHECK(none_shared(problem, chosen));
    CHECK(cost_of(problem, chosen) == Approx(solution.cost));
    CHECK(solution.cost >= least - 1e-9);
    CHECK(solution.bound <= least + 1e-9);
    if (solution.proven) CHECK(solution.cost == Approx(least));
    shared += solution.apart.empty() ? 0 : 1;
    proven += !solution.apart.empty() && solution.proven ? 1 : 0;
    for (const ApartDie& one : solution.apart) {
      CHECK((!one.not_tooling.empty() || one.not_for == std::vector<std::size_t>{1 - one.piece}));
      grouped += one.not_tooling.empty() ? 0 : 1;
    }
  }
  CHECK(shared > 20);
  CHECK(grouped > 10);
  CHECK(2 * proven > shared);
}

TEST_CASE("a price that agrees with its bound to the hundredth is proven least", "[tie]") {
  TieSolution solution;
  solution.cost = 1309.10;
  solution.bound = 1309.0912;
  solution.open = {{{0, 1}, 900.05, 900.0412}};
  TieSolution price = solution;
  prove_whole(Minimise::kCost, price);
  CHECK(price.proven);
  CHECK(price.open.empty());
  CHECK(price.bound == Approx(1309.10).margin(1e-9));
  // A whole hundredth less would do.
  price = solution;
  price.bound -= 0.01;
  price.open[0].bound -= 0.01;
  prove_whole(Minimise::kCost, price);
  CHECK_FALSE(price.proven);
  REQUIRE(price.open.size() == 1);
  CHECK(price.open[0].bound == Approx(900.04).margin(1e-9));
  TieSolution count = solution;
  count.cost = 12.0;
  count.bound = 10.2;
  count.open = {{{0, 1}, 8.0, 6.2}};
  prove_whole(Minimise::kCount, count);
  CHECK_FALSE(count.proven);
  CHECK(count.open.at(0).bound == Approx(7.0));
  CHECK(count.bound == Approx(11.0));
}
