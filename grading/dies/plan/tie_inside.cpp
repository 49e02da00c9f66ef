#include "grading/dies/plan/tie_inside.hpp"

#include <algorithm>
#include <limits>

namespace lastwright {

namespace {

bool outside(const TiePiece& piece, std::size_t candidate) {
  return candidate < piece.outside.size() && piece.outside[candidate];
}

}  // namespace

std::optional<TieProblem> without_outside(const TieProblem& problem) {
  const auto lies = [](const TiePiece& piece) {
    return std::find(piece.outside.begin(), piece.outside.end(), true) != piece.outside.end();
  };
  if (std::none_of(problem.pieces.begin(), problem.pieces.end(), lies)) return std::nullopt;
  TieProblem inside = problem;
  for (TiePiece& piece : inside.pieces) {
    for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
      if (!outside(piece, c)) continue;
      std::erase_if(piece.serves[c], [&](const Serves& serves) {
        return piece.safe.empty() || piece.safe[serves.demand] != c;
      });
    }
  }
  return inside;
}

TieProblem with_outside_dearer(const TieProblem& problem) {
  constexpr double kShare = 0.1;  // of the cheapest die, of all dies outside together
  double cheapest = std::numeric_limits<double>::infinity();
  for (const TiePiece& piece : problem.pieces) {
    for (const double cost : piece.cost) {
      if (cost > 0.0) cheapest = std::min(cheapest, cost);
    }
  }
  TieProblem dearer = problem;
  const double more = kShare * cheapest / static_cast<double>(problem.demands * problem.pieces.size());
  for (TiePiece& piece : dearer.pieces) {
    for (std::size_t c = 0; c < piece.cost.size(); ++c) {
      if (outside(piece, c)) piece.cost[c] += more;
    }
  }
  return dearer;
}

bool any_outside(const TieProblem& problem, const std::vector<std::size_t>& pieces) {
  return std::any_of(pieces.begin(), pieces.end(), [&](std::size_t p) {
    const TiePiece& piece = problem.pieces[p];
    for (std::size_t c = 0; c < piece.serves.size(); ++c) {
      if (outside(piece, c) && !piece.serves[c].empty()) return true;
    }
    return false;
  });
}

std::size_t dies_outside(const TieProblem& problem, const TieSolution& solution,
                         const std::vector<std::size_t>& pieces) {
  std::size_t count = 0;
  for (const std::size_t p : pieces) {
    for (const std::uint32_t c : solution.pieces[p].dies) count += outside(problem.pieces[p], c) ? 1 : 0;
  }
  return count;
}

double cost_of(const TiePiece& piece, const std::vector<std::uint32_t>& dies) {
  double cost = 0.0;
  for (const std::uint32_t c : dies) cost += piece.cost[c];
  return cost;
}

}  // namespace lastwright
