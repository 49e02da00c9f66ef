// After the count: each die at its best place, each size at its best die.
#include "grading/dies/plan/tie_settle.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>
#include <utility>

#include "grading/dies/plan/die_candidates.hpp"
#include "grading/dies/plan/die_plan.hpp"
#include "grading/dies/plan/tie_apart.hpp"
#include "grading/dies/plan/tie_stamps.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

constexpr double kNone = 1e300;

double ratio_of(const TiePiece& piece, std::uint32_t c, std::uint32_t d) {
  for (const Serves& serves : piece.serves[c]) {
    if (serves.demand == d && serves.ratio <= 1.0) return serves.ratio;
  }
  return kNone;
}

double worst_of(const TiePiece& piece, const std::vector<std::uint32_t>& die_of, std::uint32_t die,
                std::uint32_t at) {
  double worst = 0.0;
  for (std::uint32_t d = 0; d < die_of.size(); ++d) {
    if (die_of[d] == die) worst = std::max(worst, ratio_of(piece, at, d));
  }
  return worst;
}

bool all_hold(const TieProblem& problem, const DieOfPieces& die_of) {
  for (std::size_t d = 0; d < problem.demands; ++d) {
    if (!seams_hold_at(problem, die_of, d)) return false;
  }
  return true;
}

TieProblem problem_of(int round, Dice& dice) {
  TieProblem problem;
  problem.demands = 6;
  const bool seam = round % 3 != 0;
  for (const char* name : {"vamp", "tongue"}) {
    problem.pieces.push_back(row_piece(name, problem.demands, dice(0.2, 0.9)));
    TiePiece& piece = problem.pieces.back();
    for (std::vector<Serves>& serves : piece.serves) {  // no place fits as its neighbours do
      for (Serves& one : serves) one.ratio *= dice(0.8, 1.25);
    }
    if (round % 5 == 0) piece.group = {0, 0, 0, 1, 1, 1};
  }
  if (seam)
    problem.seams.push_back(
        {"seam", 0, 1, growing(6, 60, 1.0), growing(6, 60, 1.0), 0.0, round % 3 == 1 ? 0.1 : dice(0.3, 1.2)});
  return problem;
}

// Sizes handed about among the same dies, none of which is left with nothing.
void shuffle(const TieProblem& problem, TieSolution& solution, Dice& dice) {
  for (int k = 0; k < 40; ++k) {
    const auto p = static_cast<std::size_t>(dice(0.0, static_cast<double>(problem.pieces.size()) - 1e-9));
    const auto d = static_cast<std::uint32_t>(dice(0.0, static_cast<double>(problem.demands) - 1e-9));
    const TiePiece& piece = problem.pieces[p];
    std::vector<std::uint32_t>& die_of = solution.pieces[p].die_of;
    const std::uint32_t other =
        die_of[static_cast<std::size_t>(dice(0.0, static_cast<double>(problem.demands) - 1e-9))];
    if (!piece.group.empty() || ratio_of(piece, other, d) == kNone) continue;
    if (std::count(die_of.begin(), die_of.end(), die_of[d]) < 2) continue;
    const std::uint32_t was = std::exchange(die_of[d], other);
    DieOfPieces all;
    for (const PieceTies& ties : solution.pieces) all.push_back(ties.die_of);
    if (!all_hold(problem, all)) die_of[d] = was;
  }
}

DieOfPieces settled_dies(const TieSolution& solution) {
  DieOfPieces die_of;
  for (const PieceTies& ties : solution.pieces) die_of.push_back(ties.die_of);
  return die_of;
}

}  // namespace

TEST_CASE("no die would be nearer to what it serves elsewhere, and no size to another of the dies",
          "[tie_settle]") {
  Dice dice(5);
  int moved = 0;
  for (int round = 0; round < 90; ++round) {
    TieProblem problem = problem_of(round, dice);
    TieSolution solution = solve_apart(problem);
    const TieSolution before = solution;
    if (round % 3 != 1) shuffle(problem, solution, dice);
    settle_dies(problem, solution);
    INFO("round " << round);
    CHECK(solution.cost == Approx(before.cost));
    CHECK(solution.proven == before.proven);
    const DieOfPieces die_of = settled_dies(solution);
    CHECK(cost_of(problem, die_of) == Approx(before.cost));
    CHECK(all_hold(problem, die_of));
    moved += die_of != settled_dies(before) ? 1 : 0;
    const bool locked = round % 3 == 1;  // mates only match at one place: both change or none
    for (std::size_t p = 0; p < 2; ++p) {
      const TiePiece& piece = problem.pieces[p];
      const std::set<std::uint32_t> used(die_of[p].begin(), die_of[p].end());
      for (std::uint32_t d = 0; d < problem.demands; ++d) {
        CHECK(ratio_of(piece, die_of[p][d], d) < kNone);
        const auto count = std::count(die_of[p].begin(), die_of[p].end(), die_of[p][d]);
        for (const std::uint32_t other : used) {
          if (count < 2 || ratio_of(piece, other, d) >= ratio_of(piece, die_of[p][d], d) - 1e-6) continue;
          DieOfPieces changed = die_of;
          changed[p][d] = other;
          if (!piece.group.empty()) {
            const auto serves = std::find(die_of[p].begin(), die_of[p].end(), other) - die_of[p].begin();
            if (piece.group[static_cast<std::size_t>(serves)] != piece.group[d]) continue;
          }
          CHECK_FALSE(all_hold(problem, changed));
        }
      }
      if (!piece.group.empty()) continue;
      for (const std::uint32_t die : used) {
        for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
          if (used.contains(c)) continue;
          double now = worst_of(piece, die_of[p], die, die);
          double then = worst_of(piece, die_of[p], die, c);
          DieOfPieces changed = die_of;
          std::replace(changed[p].begin(), changed[p].end(), die, c);
          if (locked) {
            const TiePiece& mate = problem.pieces[1 - p];
            now = std::max(now, worst_of(mate, die_of[1 - p], die, die));
            then = std::max(then, worst_of(mate, die_of[1 - p], die, c));
            std::replace(changed[1 - p].begin(), changed[1 - p].end(), die, c);
          }
          if (then < now - 1e-6) CHECK_FALSE(all_hold(problem, changed));
        }
      }
    }
  }
  CHECK(moved > 30);
}

TEST_CASE("no nick that tells the size, no stamp and no price is given up for a nearer place",
          "[tie_settle]") {
  Dice dice(8);
  int kept = 0;
  int dear = 0;
  int other = 0;
  for (int round = 0; round < 60; ++round) {
    TieProblem problem = problem_of(3 * round, dice);
    problem.pieces.pop_back();
    TiePiece& piece = problem.pieces[0];
    piece.group.clear();
    const TieSolution first = solve_ties(problem);
    TieSolution free = first;
    settle_dies(problem, free);
    // Only a die where it is now tells the size.
    TieSolution told = first;
    const std::set<std::uint32_t> tells(first.pieces[0].die_of.begin(), first.pieces[0].die_of.end());
    settle_dies(problem, told, [&](std::size_t, std::uint32_t c, const std::vector<std::uint32_t>&) {
      return tells.contains(c);
    });
    for (const std::uint32_t die : told.pieces[0].dies) CHECK(tells.contains(die));
    kept += free.pieces[0].dies != told.pieces[0].dies ? 1 : 0;
    // Each place costs another price.
    TieProblem priced = problem;
    for (double& cost : priced.pieces[0].cost) cost = dice(1.0, 1.2);
    TieSolution cheap = solve_ties(priced);
    const double cost = cheap.cost;
    settle_dies(priced, cheap);
    CHECK(cheap.cost <= cost + 1e-9);
    CHECK(cost_of(priced, settled_dies(cheap)) == Approx(cheap.cost));
    CHECK(cheap.bound <= cheap.cost + 1e-9);
    dear += cheap.pieces[0].dies != first.pieces[0].dies ? 1 : 0;
    // The dies are there and each is stamped with what it serves: all of it stays, though another fits
    // better.
    TieProblem there = problem;
    TiePiece& owned = there.pieces[0];
    owned.first_owned = owned.serves.size();
    TieSolution stamped = first;
    shuffle(problem, stamped, dice);
    const std::vector<std::uint32_t> worse = stamped.pieces[0].die_of;
    other += worse != first.pieces[0].die_of ? 1 : 0;
    owned.stamps.resize(owned.first_owned);
    for (const std::uint32_t die : first.pieces[0].dies) {
      TieStamp stamp;
      for (std::uint32_t d = 0; d < there.demands; ++d) {
        if (worse[d] != die) continue;
        stamp.bears.push_back(d);
        stamped.pieces[0].die_of[d] = static_cast<std::uint32_t>(owned.serves.size());
      }
      stamp.changed = 2;
      const std::vector<Serves> serves = owned.serves[die];
      owned.serves.push_back(serves);
      owned.cost.push_back(0.0);
      owned.stamps.push_back(std::move(stamp));
    }
    const std::vector<std::uint32_t> was = stamped.pieces[0].die_of;
    settle_dies(there, stamped);
    CHECK(stamped.restamps == 0);
    CHECK(stamped.pieces[0].die_of == was);
  }
  CHECK(kept > 20);
  CHECK(dear > 20);
  CHECK(other > 10);
}

TEST_CASE("each die of a plan is drawn where its greatest deviation is least", "[tie_settle]") {
  const BlobStyle blobs = small_style();
  DieRules rules;
  rules.curve.clear();
  for (const double mm : {0.4, 1.0}) {
    rules.tolerance = mm;
    const DiePlanInput input = input_of(blobs, rules, run_of(4, 2));
    const DiePlan plan = *plan_dies(input);
    for (std::size_t p = 0; p < blobs.style.pieces.size(); ++p) {
      const PieceCandidates all = *find_candidates(input, p, 1.0);
      for (const PlannedDie& die : plan.dies) {
        if (die.piece != p) continue;
        for (std::size_t c = 0; c < all.serves.size(); ++c) {
          std::size_t serves = 0;
          double worst = 0.0;
          for (const Serves& one : all.serves[c]) {
            if (!std::binary_search(die.serves.begin(), die.serves.end(), one.demand)) continue;
            ++serves;
            worst = std::max(worst, one.ratio);
          }
          const bool taken = std::any_of(plan.dies.begin(), plan.dies.end(), [&](const PlannedDie& other) {
            return other.piece == p && other.candidate == c;
          });
          if (serves == die.serves.size() && !taken) CHECK(worst > die.worst_ratio - 0.01);
        }
      }
    }
  }
}
