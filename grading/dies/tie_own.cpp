#include "grading/dies/tie_own.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace lastwright {

namespace {

using Key = std::pair<std::uint32_t, std::uint32_t>;  // candidate, tooling group

Key key_of(const TiePiece& piece, std::uint32_t candidate, std::size_t demand) {
  return {candidate, piece.group.empty() ? 0 : piece.group[demand]};
}

// By demand: the pieces whose die may become that demand's own outline.
std::vector<std::vector<std::size_t>> alone_with(const TieProblem& problem, const TieSolution& solution) {
  std::vector<std::vector<std::size_t>> pieces(problem.demands);
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    const TiePiece& piece = problem.pieces[p];
    const std::vector<std::uint32_t>& die_of = solution.pieces[p].die_of;
    std::map<Key, int> serves;
    for (std::size_t d = 0; d < problem.demands; ++d) ++serves[key_of(piece, die_of[d], d)];
    for (std::size_t d = 0; d < problem.demands; ++d) {
      const std::uint32_t own = piece.own[d];
      if (die_of[d] == own || die_of[d] >= piece.first_owned || serves[key_of(piece, die_of[d], d)] > 1)
        continue;
      if (piece.cost[own] > piece.cost[die_of[d]] || serves.contains(key_of(piece, own, d))) continue;
      pieces[d].push_back(p);
    }
  }
  return pieces;
}

class Swap {
 public:
  Swap(const TieProblem& problem, const TieSolution& solution, std::size_t demand)
      : problem_(problem), solution_(solution), demand_(demand) {}

  // The largest part of `pieces` that may change at once, found by taking out whoever breaks a seam.
  [[nodiscard]] std::set<std::size_t> allowed(std::set<std::size_t> pieces) const {
    for (bool changed = true; changed;) {
      changed = false;
      for (const TieSeam& seam : problem_.seams) {
        if (!pieces.contains(seam.one) && !pieces.contains(seam.other)) continue;
        if (holds(seam, pieces)) continue;
        pieces.erase(seam.one);
        pieces.erase(seam.other);
        changed = true;
      }
    }
    return pieces;
  }

 private:
  [[nodiscard]] std::uint32_t die(std::size_t piece, const std::set<std::size_t>& own) const {
    return own.contains(piece) ? problem_.pieces[piece].own[demand_]
                               : solution_.pieces[piece].die_of[demand_];
  }
  [[nodiscard]] bool holds(const TieSeam& seam, const std::set<std::size_t>& own) const {
    return seam_mismatch(seam, die(seam.one, own), die(seam.other, own)) <=
           seam_limit_of(problem_, seam, demand_);
  }
  const TieProblem& problem_;
  const TieSolution& solution_;
  std::size_t demand_;
};

}  // namespace

double seam_mismatch(const TieSeam& seam, std::uint32_t one, std::uint32_t other) {
  return std::abs(seam.other_length[other] - seam.one_length[one] - seam.wanted);
}

double seam_limit_of(const TieProblem& problem, const TieSeam& seam, std::size_t demand) {
  return std::max(seam.limit, seam_mismatch(seam, problem.pieces[seam.one].own[demand],
                                            problem.pieces[seam.other].own[demand]));
}

void take_own_outlines(const TieProblem& problem, TieSolution& solution) {
  const std::vector<std::vector<std::size_t>> alone = alone_with(problem, solution);
  for (std::size_t d = 0; d < problem.demands; ++d) {
    const Swap swap(problem, solution, d);
    std::set<std::size_t> pieces = swap.allowed({alone[d].begin(), alone[d].end()});
    for (const std::size_t p : alone[d]) {  // what fell with a mate may still change without it
      if (pieces.contains(p)) continue;
      std::set<std::size_t> more = pieces;
      more.insert(p);
      if (swap.allowed(more) == more) pieces = std::move(more);
    }
    for (const std::size_t p : pieces) {
      PieceTies& ties = solution.pieces[p];
      const TiePiece& piece = problem.pieces[p];
      *std::find(ties.dies.begin(), ties.dies.end(), ties.die_of[d]) = piece.own[d];
      std::sort(ties.dies.begin(), ties.dies.end());
      const double less = piece.cost[ties.die_of[d]] - piece.cost[piece.own[d]];
      ties.cost -= less;
      solution.cost -= less;
      ties.die_of[d] = piece.own[d];
    }
  }
}

}  // namespace lastwright
