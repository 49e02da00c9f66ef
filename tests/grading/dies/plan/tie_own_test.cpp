// Dies that are there serve the size whose outline they are.
#include "grading/dies/plan/tie_own.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/support/blob.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// Some of the piece's places are there as dies: the same candidate once more, at no cost.
std::vector<std::uint32_t> add_owned_dies(TiePiece& piece, Dice& dice) {
  std::vector<std::uint32_t> copied;
  piece.first_owned = piece.serves.size();
  for (std::uint32_t c = 0; c < piece.first_owned; ++c) {
    if (dice(0.0, 1.0) > 0.4) continue;
    copied.push_back(c);
    const std::vector<Serves> serves = piece.serves[c];
    piece.serves.push_back(serves);
    piece.cost.push_back(0.0);
  }
  return copied;
}

std::vector<double> with_copies(std::vector<double> lengths, const std::vector<std::uint32_t>& copied) {
  for (const std::uint32_t c : copied) {
    const double length = lengths[c];
    lengths.push_back(length);
  }
  return lengths;
}

}  // namespace

TEST_CASE("a die that is there serves its own size, unless a seam would not match, and nothing costs more",
          "[tie_own]") {
  Dice dice(11);
  int used = 0;
  int held = 0;
  for (int round = 0; round < 60; ++round) {
    TieProblem problem;
    problem.demands = 4;
    std::vector<std::vector<std::uint32_t>> copied;
    for (const char* name : {"vamp", "tongue"}) {
      problem.pieces.push_back(row_piece(name, problem.demands, dice(0.3, 1.2)));
      copied.push_back(add_owned_dies(problem.pieces.back(), dice));
    }
    const bool seam = round % 3 != 0;
    if (seam)
      problem.seams.push_back({"seam", 0, 1, with_copies(growing(4, 60, 1.0), copied[0]),
                               with_copies(growing(4, 60, 1.0), copied[1]), 0.0, dice(0.1, 0.9)});
    const TieSolution solution = solve_ties(problem);
    INFO("round " << round);
    TieProblem unknown = problem;  // no die that is there is known as an outline
    for (TiePiece& piece : unknown.pieces) {
      for (std::size_t c = piece.first_owned; c < piece.serves.size(); ++c) {
        for (Serves& serves : piece.serves[c]) serves.ratio = std::max(serves.ratio, 1e-9);
      }
    }
    CHECK(solution.cost == Approx(solve_ties(unknown).cost));
    for (std::size_t p = 0; p < 2; ++p) {
      for (std::uint32_t d = 0; d < problem.demands; ++d) {
        const TiePiece& piece = problem.pieces[p];
        const auto own = std::find(copied[p].begin(), copied[p].end(), piece.own[d]);
        if (own == copied[p].end()) continue;
        const auto die = static_cast<std::uint32_t>(piece.first_owned + (own - copied[p].begin()));
        DieOfPieces die_of{solution.pieces[0].die_of, solution.pieces[1].die_of};
        used += die_of[p][d] == die ? 1 : 0;
        if (die_of[p][d] == die) continue;
        die_of[p][d] = die;
        CHECK_FALSE(seams_hold_at(problem, die_of, d));
        ++held;
      }
    }
  }
  CHECK(used > 60);
  CHECK(held > 0);
}
