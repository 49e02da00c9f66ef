#include "grading/dies/plan/tie_solve.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <set>

#include "grading/dies/plan/tie_joint.hpp"
#include "grading/dies/plan/tie_own.hpp"
#include "grading/dies/plan/tie_windows.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using namespace lastwright::test;

namespace {

bool seams_hold(const TieProblem& problem, const std::vector<std::vector<std::uint32_t>>& die_of) {
  for (std::size_t d = 0; d < problem.demands; ++d) {
    if (!seams_hold_at(problem, die_of, d)) return false;
  }
  return true;
}

// Every assignment of every piece, one by one.
double all_ties_tried(const TieProblem& problem) {
  return least_of_all(problem, [](const DieOfPieces&) { return true; });
}

// Every candidate of a piece with all that it serves.
JointGroup all_columns(const TieProblem& problem, const TiePiece& piece) {
  JointGroup group;
  for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
    CoverColumn column{piece.cost[c], {}};
    for (const Serves& serves : piece.serves[c]) {
      if (serves.ratio <= problem.scale) column.rows.push_back(serves.demand);
    }
    if (column.rows.empty()) continue;
    group.columns.push_back(std::move(column));
    group.candidate.push_back(c);
  }
  return group;
}

std::vector<JointGroup> all_groups(const TieProblem& problem) {
  std::vector<JointGroup> groups;
  for (const TiePiece& piece : problem.pieces) groups.push_back(all_columns(problem, piece));
  return groups;
}

// What the pieces cost where no seam joins them.
double alone_of(const TieProblem& problem, const std::vector<JointGroup>& groups) {
  double cost = 0.0;
  for (const JointGroup& group : groups) cost += cheapest_cover(problem.demands, group.columns).cost;
  return cost;
}

}  // namespace

TEST_CASE("a piece without seams takes as few dies as its tolerance allows", "[tie]") {
  TieProblem problem;
  problem.demands = 9;
  problem.pieces = {row_piece("stiffener", 9, 0.5)};  // own outlines reach 2 steps each side: 5 sizes
  const TieSolution solution = solve_ties(problem);
  CHECK(solution.cost == Approx(2.0));
  CHECK(solution.proven);
  problem.pieces = {row_piece("stiffener", 9, 2.0)};  // only a die half way between serves two
  CHECK(solve_ties(problem).cost == Approx(5.0));
  problem.pieces[0].may_tie = false;
  CHECK(solve_ties(problem).cost == Approx(9.0));
}

TEST_CASE("a die never serves two tooling groups", "[tie]") {
  TieProblem problem;
  problem.demands = 6;
  problem.pieces = {row_piece("shank", 6, 0.1)};
  CHECK(solve_ties(problem).cost == Approx(1.0));
  problem.pieces[0].group = {0, 0, 1, 1, 2, 2};
  const TieSolution solution = solve_ties(problem);
  CHECK(solution.cost == Approx(3.0));
  CHECK(solution.pieces[0].dies.size() == 3);
}

TEST_CASE("mates whose seam grows are tied alike or not at all", "[tie]") {
  TieProblem problem;
  problem.demands = 8;
  problem.pieces = {row_piece("vamp", 8, 1.0), row_piece("toe cap", 8, 0.5)};
  CHECK(solve_ties(problem).cost == Approx(3.0 + 2.0));  // without the seam
  problem.seams = {{"cap", 0, 1, growing(8, 60, 1.0), growing(8, 60, 1.0), 0.0, 0.1}};
  const TieSolution locked = solve_ties(problem);
  CHECK(locked.cost == Approx(3.0 + 3.0));  // the cap follows the vamp
  CHECK(locked.proven);
  CHECK(locked.worst_seam <= 0.1);
  CHECK(locked.pieces[1].alone == Approx(2.0));
  problem.pieces[0].may_tie = false;
  CHECK(solve_ties(problem).cost == Approx(16.0));
  problem.seams[0].limit = 2.1;  // a seam that forgives two steps lets the cap go its own way
  CHECK(solve_ties(problem).cost == Approx(8.0 + 2.0));
}

TEST_CASE("coupled pieces against every assignment", "[tie]") {
  Dice dice(11);
  int proven = 0;
  constexpr int kRounds = 30;
  for (int round = 0; round < kRounds; ++round) {
    TieProblem problem;
    problem.demands = 4;
    const double cost = round % 2 == 0 ? 1.0 : 2.0;
    problem.pieces = {row_piece("a", 4, dice(0.4, 2.2)), row_piece("b", 4, dice(0.4, 2.2), cost)};
    if (round % 3 == 0) problem.pieces.push_back(row_piece("c", 4, dice(1.1, 2.2)));
    const double growth = dice(0.0, 1.0);
    problem.seams = {{"ab", 0, 1, growing(4, 50, growth), growing(4, 50.02, growth), 0.0, dice(0.05, 0.8)}};
    if (problem.pieces.size() == 3) {
      problem.seams.push_back({"bc", 1, 2, growing(4, 30, 0.4), growing(4, 30, 0.4), 0.0, dice(0.05, 0.5)});
      problem.seams.push_back({"ca", 2, 0, growing(4, 80, 0.9), growing(4, 80, 0.9), 0.0, dice(0.05, 0.8)});
    }
    const double optimum = all_ties_tried(problem);
    const TieSolution solution = solve_ties(problem);
    CoverOptions options;
    options.jointly = false;
    const TieSolution apart = solve_ties(problem, options);
    CHECK(solution.bound >= apart.bound - 1e-9);
    CHECK(solution.cost <= apart.cost + 1e-9);
    CHECK(solution.seams_over == 0);
    CHECK(solution.bound <= optimum + 1e-9);
    CHECK(solution.cost >= optimum - 1e-9);
    double open = 0.0;
    for (const OpenTies& one : solution.open) {
      CHECK(one.pieces.size() == problem.pieces.size());
      open += one.cost - one.bound;
    }
    CHECK(solution.cost - solution.bound == Approx(open).margin(1e-6));
    CHECK(solution.open.empty() == solution.proven);
    if (solution.proven) {
      ++proven;
      CHECK(solution.cost == Approx(optimum));
    }
    std::vector<std::vector<std::uint32_t>> die_of;
    for (const PieceTies& ties : solution.pieces) die_of.push_back(ties.die_of);
    CHECK(seams_hold(problem, die_of));
    CHECK(cost_of(problem, die_of) == Approx(solution.cost));
  }
  INFO("proven in " << proven << " of " << kRounds);
  CHECK(proven >= kRounds * 3 / 4);
}

TEST_CASE("the bound of all pieces together is below every assignment, and above what each needs alone",
          "[tie]") {
  Dice dice(17);
  int reached = 0;
  int above_alone = 0;
  constexpr int kRounds = 12;
  for (int round = 0; round < kRounds; ++round) {
    TieProblem problem;
    problem.demands = 4;
    problem.pieces = {row_piece("a", 4, dice(0.4, 2.2)), row_piece("b", 4, dice(0.4, 2.2), 2.0),
                      row_piece("c", 4, dice(1.1, 2.2))};
    problem.seams = {{"ab", 0, 1, growing(4, 50, 1.0), growing(4, 50, 1.0), 0.0, dice(0.05, 0.8)},
                     {"bc", 1, 2, growing(4, 30, 0.4), growing(4, 30, 0.4), 0.0, dice(0.05, 0.5)}};
    const std::vector<JointGroup> groups = all_groups(problem);
    const double alone = alone_of(problem, groups);
    const double optimum = all_ties_tried(problem);
    const JointBound bound =
        joint_bound(problem, groups, {{problem.seams.data(), 0, 1}, {problem.seams.data() + 1, 1, 2}},
                    2.0 * optimum);  // so that it goes as high as it can
    CHECK(bound.bound <= optimum + 1e-9);
    reached += std::ceil(bound.bound - 1e-4) >= optimum ? 1 : 0;
    above_alone += bound.bound > alone + 0.01 ? 1 : 0;
  }
  INFO("reached in " << reached << ", above in " << above_alone);
  CHECK(reached >= kRounds / 2);
  CHECK(above_alone >= kRounds / 4);
}

TEST_CASE("the bound of mates that must follow each other is what the seam makes of it", "[tie]") {
  // Alone the one needs two dies of five sizes and the other one; only dies drawn at the same place match,
  // and where demands have no die in common the relaxation needs as many dies as every assignment.
  TieProblem problem;
  problem.demands = 5;
  problem.pieces = {row_piece("vamp", 5, 1.0), row_piece("toe cap", 5, 0.5)};
  problem.seams = {{"cap", 0, 1, growing(5, 60, 1.0), growing(5, 60, 1.0), 0.0, 0.1}};
  const std::vector<JointGroup> groups = all_groups(problem);
  const double alone = alone_of(problem, groups);
  const double optimum = all_ties_tried(problem);
  CHECK(alone == Approx(3.0));
  CHECK(optimum == Approx(4.0));
  const JointBound bound = joint_bound(problem, groups, {{problem.seams.data(), 0, 1}}, 2.0 * optimum);
  CHECK(bound.bound <= optimum + 1e-9);
  CHECK(bound.bound > 0.999 * optimum);
}

TEST_CASE("the bound of all pieces together is near the linear relaxation's, whatever a die costs", "[tie]") {
  // Every other size a die of its own: the relaxation needs 4.5 dies of one piece of 9 and its mate as many.
  TieProblem problem;
  problem.demands = 9;
  problem.pieces = {row_piece("a", 9, 2.0), row_piece("b", 9, 2.0)};
  problem.seams = {{"ab", 0, 1, growing(9, 50, 1.0), growing(9, 50, 1.0), 0.0, 0.2}};
  std::vector<JointGroup> groups(2);
  for (JointGroup& group : groups) {
    for (std::uint32_t c = 0; c < 17; ++c) {
      CoverColumn column{1.0, {c / 2}};
      if (c % 2 == 1) column.rows.push_back(c / 2 + 1);
      group.columns.push_back(std::move(column));
      group.candidate.push_back(c);
    }
  }
  for (const double cost : {1.0, 80.0}) {
    for (JointGroup& group : groups) {
      for (CoverColumn& column : group.columns) column.cost = cost;
    }
    const JointBound bound = joint_bound(problem, groups, {{problem.seams.data(), 0, 1}}, 20.0 * cost);
    CHECK(bound.bound <= 10.0 * cost);
    CHECK(bound.bound > 9.99 * cost);  // a row of nine is served by five
  }
}

TEST_CASE("a choice made anew window by window matches, costs no more and comes to the least", "[tie]") {
  Dice dice(41);
  int least = 0;
  int gained = 0;
  constexpr int kRounds = 40;
  for (int round = 0; round < kRounds; ++round) {
    TieProblem problem;
    problem.demands = 4;
    for (const char* name : {"a", "b", "c"})
      problem.pieces.push_back(row_piece(name, 4, dice(0.9, 1.9), std::floor(dice(1.0, 4.0))));
    problem.seams = {{"ab", 0, 1, growing(4, 50, 1.0), growing(4, 50, 1.0), 0.0, dice(0.05, 0.8)},
                     {"bc", 1, 2, growing(4, 30, 0.4), growing(4, 30, 0.4), 0.0, dice(0.05, 0.5)}};
    const bool grouped = round % 4 == 0;
    if (grouped) problem.pieces[1].group = {0, 0, 1, 1};
    const std::vector<std::uint32_t> together{1, 2};
    const bool forced = round % 4 == 1;
    if (forced) problem.pieces[0].forced = {together};
    const TiePart part(problem, {0, 1, 2});
    TieDomains domains = part.starting_domains({});
    if (part.strike(domains)) continue;  // what is forced cannot be kept
    std::map<std::size_t, PieceTies> chosen;
    CoverOptions options;
    options.jointly = false;
    const TieSolution first = solve_ties(problem, options);
    for (std::size_t p = 0; p < 3; ++p) {
      chosen[p].die_of = forced ? first.pieces[p].die_of : problem.pieces[p].own;
    }
    double before = 0.0;
    for (const auto& [p, ties] : chosen) {
      const std::set<std::uint32_t> dies(ties.die_of.begin(), ties.die_of.end());
      for (const std::uint32_t c : dies) before += problem.pieces[p].cost[c];
    }
    options.rounds = 200;
    const double after = chosen_by_windows(part, {{0}, {1}, {2}}, domains, 0.0, options, chosen);
    std::vector<std::vector<std::uint32_t>> die_of;
    double told = 0.0;
    for (const auto& [p, ties] : chosen) {
      die_of.push_back(ties.die_of);
      told += ties.cost;
      for (std::uint32_t d = 0; d < 4; ++d) {
        const std::vector<std::uint32_t>& may = domains[p][d];
        CHECK(std::find(may.begin(), may.end(), ties.die_of[d]) != may.end());
      }
    }
    CHECK(seams_hold(problem, die_of));
    CHECK(told == Approx(after));
    if (!grouped) CHECK(cost_of(problem, die_of) == Approx(after));
    if (forced) CHECK(die_of[0][1] == die_of[0][2]);
    if (grouped) continue;
    const double optimum =
        least_of_all(problem, [&](const DieOfPieces& of) { return !forced || of[0][1] == of[0][2]; });
    CHECK(after >= optimum - 1e-9);
    CHECK(after <= before + 1e-9);
    options.rounds = 3;
    for (int again = 0; again < 20; ++again)
      CHECK(chosen_by_windows(part, {{0}, {1}, {2}}, domains, 0.0, options, chosen) <= after + 1e-9);
    least += after <= optimum + 1e-9 ? 1 : 0;
    gained += after < before - 1e-9 ? 1 : 0;
  }
  INFO(least << " least, " << gained << " gained");
  CHECK(least >= 24);
  CHECK(gained >= 15);
}

TEST_CASE("a round that costs the same is kept: dies that fit better for no more", "[tie]") {
  TieProblem problem;
  problem.demands = 4;
  for (const char* name : {"vamp", "quarter"}) {
    TiePiece piece;
    piece.name = name;
    piece.own = {0, 0, 0, 0};
    for (const double ratio : {0.1, 0.9}) {
      piece.cost.push_back(1.0);
      piece.serves.emplace_back();
      for (std::uint32_t d = 0; d < 4; ++d) piece.serves.back().push_back({d, ratio, 0.0, {}});
    }
    problem.pieces.push_back(std::move(piece));
  }
  problem.seams = {{"front", 0, 1, {5.0, 5.0}, {5.0, 5.0}, 0.0, 0.1}};
  const TiePart part(problem, {0, 1});
  TieDomains domains = part.starting_domains({});
  REQUIRE_FALSE(part.strike(domains));
  std::map<std::size_t, PieceTies> chosen;
  for (const std::size_t p : {0u, 1u}) chosen[p].die_of = {1, 1, 1, 1};
  CoverOptions options;
  options.rounds = 10;
  CHECK(chosen_by_windows(part, {{0}, {1}}, domains, 0.0, options, chosen) == Approx(2.0));
  for (const auto& [p, ties] : chosen) CHECK(ties.die_of == std::vector<std::uint32_t>{0, 0, 0, 0});
}

TEST_CASE("no round of a choice made anew makes it dearer", "[tie]") {
  // The dice fall alike in every run, so that each run of more rounds goes on where one of fewer ended.
  constexpr std::size_t kDemands = 12;
  Dice dice(41);
  int gained = 0;
  for (int of = 0; of < 4; ++of) {
    TieProblem problem;
    problem.demands = kDemands;
    for (const char* name : {"a", "b", "c"})
      problem.pieces.push_back(row_piece(name, kDemands, dice(0.3, 1.2)));
    problem.seams = {
        {"ab", 0, 1, growing(kDemands, 50, 1.0), growing(kDemands, 50, 1.0), 0.0, dice(0.5, 1.8)},
        {"bc", 1, 2, growing(kDemands, 30, 0.4), growing(kDemands, 30, 0.4), 0.0, dice(0.3, 1.5)}};
    const TiePart part(problem, {0, 1, 2});
    TieDomains domains = part.starting_domains({});
    REQUIRE_FALSE(part.strike(domains));
    double before = 1e300;
    for (int rounds = 0; rounds <= 40; ++rounds) {
      std::map<std::size_t, PieceTies> chosen;
      for (std::size_t p = 0; p < 3; ++p) chosen[p].die_of = problem.pieces[p].own;
      CoverOptions options;
      options.rounds = rounds;
      const double cost = chosen_by_windows(part, {{0}, {1}, {2}}, domains, 0.0, options, chosen);
      CHECK(cost <= before + 1e-9);
      gained += rounds > 0 && cost < before - 1e-9 ? 1 : 0;
      before = cost;
    }
  }
  CHECK(gained >= 15);
}

TEST_CASE("no piece could do with cheaper dies while its mates keep theirs", "[tie]") {
  Dice dice(29);
  int dearer_alone = 0;
  for (int round = 0; round < 120; ++round) {
    TieProblem problem;
    problem.demands = 4;
    for (const char* name : {"a", "b", "c"})
      problem.pieces.push_back(row_piece(name, 4, dice(0.4, 1.6), std::floor(dice(1.0, 4.0))));
    const double growth = dice(0.2, 1.0);
    for (const auto& [one, other] : {std::pair{0, 1}, std::pair{1, 2}, std::pair{2, 0}}) {
      problem.seams.push_back({"seam", static_cast<std::size_t>(one), static_cast<std::size_t>(other),
                               growing(4, 50, growth), growing(4, 50, dice(0.8, 1.2) * growth), 0.0,
                               dice(0.1, 1.0)});
    }
    const TieSolution solution = solve_ties(problem);
    if (solution.seams_over > 0) continue;
    std::vector<std::vector<std::uint32_t>> die_of;
    for (const PieceTies& ties : solution.pieces) die_of.push_back(ties.die_of);
    for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
      dearer_alone += solution.pieces[p].cost > solution.pieces[p].alone + 1e-9 ? 1 : 0;
      // Every other assignment of this piece, the mates as they are.
      std::vector<std::vector<std::uint32_t>> tried = die_of;
      double best = 1e300;
      std::function<void(std::size_t)> assign = [&](std::size_t d) {
        if (d == problem.demands) {
          if (seams_hold(problem, tried)) best = std::min(best, cost_of(problem, tried));
          return;
        }
        for (std::uint32_t c = 0; c < problem.pieces[p].serves.size(); ++c) {
          for (const Serves& serves : problem.pieces[p].serves[c]) {
            if (serves.demand != d || serves.ratio > problem.scale) continue;
            tried[p][d] = c;
            assign(d + 1);
          }
        }
      };
      assign(0);
      CHECK(best >= cost_of(problem, die_of) - 1e-9);
    }
  }
  CHECK(dearer_alone > 20);  // seams really hold pieces here
}

TEST_CASE("dies that are there already are used before new ones are made", "[tie]") {
  TieProblem problem;
  problem.demands = 6;
  TiePiece piece = row_piece("tongue", 6, 0.9);
  piece.cost.push_back(0.0);  // an old die that happens to serve sizes 1 to 3
  piece.serves.push_back({{1, 0.8, 0.0, {}}, {2, 0.1, 0.0, {}}, {3, 0.7, 0.0, {}}});
  problem.pieces = {piece};
  const TieSolution solution = solve_ties(problem);
  CHECK(solution.cost == Approx(2.0));
  CHECK(solution.pieces[0].die_of[2] == piece.cost.size() - 1);
}

TEST_CASE("mates that only match at one place change to their own outlines together, or not at all",
          "[tie_solve]") {
  // Two sizes, each served by a die half way (candidate 1) of its own tooling group, in both pieces.
  TieProblem problem;
  problem.demands = 2;
  for (const char* name : {"vamp", "quarter"}) {
    problem.pieces.push_back(row_piece(name, 2, 1.0));
    problem.pieces.back().group = {1, 2};
  }
  problem.seams.push_back({"front", 0, 1, growing(2, 100.0, 1.0), growing(2, 120.0, 1.0), 20.0, 0.1});
  TieSolution solution;
  solution.cost = 4.0;
  solution.pieces.resize(2, {{1, 1}, {1, 1}, 2.0, 2.0});
  TieSolution both = solution;
  take_own_outlines(problem, both);
  for (const PieceTies& ties : both.pieces) {
    CHECK(ties.die_of == std::vector<std::uint32_t>{0, 2});
    CHECK(ties.dies == std::vector<std::uint32_t>{0, 2});
  }
  CHECK(both.cost == Approx(4.0));
  // One of them is bound to stay: its own outline of the first size costs more. The mate stays with it there.
  problem.pieces[0].cost[0] = 1.5;
  TieSolution held = solution;
  take_own_outlines(problem, held);
  for (const PieceTies& ties : held.pieces) CHECK(ties.die_of == std::vector<std::uint32_t>{1, 2});
  // A die for both sizes is left alone.
  problem.pieces[0].group.clear();
  problem.pieces[1].group.clear();
  solution.pieces.assign(2, {{1, 1}, {1}, 1.0, 1.0});
  TieSolution shared = solution;
  take_own_outlines(problem, shared);
  for (const PieceTies& ties : shared.pieces) CHECK(ties.dies == std::vector<std::uint32_t>{1});
}
