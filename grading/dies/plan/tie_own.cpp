#include "grading/dies/plan/tie_own.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "grading/dies/plan/tie_stamps.hpp"

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
  // `instead`: by piece, the die that it may change to.
  Swap(const TieProblem& problem, const TieSolution& solution, std::size_t demand,
       std::vector<std::uint32_t> instead)
      : problem_(problem), solution_(solution), demand_(demand), instead_(std::move(instead)) {}

  // Of these pieces as many as may change at once.
  [[nodiscard]] std::set<std::size_t> most_of(const std::vector<std::size_t>& wanted) const {
    std::set<std::size_t> pieces = allowed({wanted.begin(), wanted.end()});
    for (const std::size_t p : wanted) {  // what fell with a mate may still change without it
      if (pieces.contains(p)) continue;
      std::set<std::size_t> more = pieces;
      more.insert(p);
      if (allowed(more) == more) pieces = std::move(more);
    }
    return pieces;
  }

 private:
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
  [[nodiscard]] std::uint32_t die(std::size_t piece, const std::set<std::size_t>& own) const {
    return own.contains(piece) ? instead_[piece] : solution_.pieces[piece].die_of[demand_];
  }
  [[nodiscard]] bool holds(const TieSeam& seam, const std::set<std::size_t>& own) const {
    return seam_mismatch(seam, die(seam.one, own), die(seam.other, own)) <=
           seam_limit_of(problem_, seam, demand_);
  }
  const TieProblem& problem_;
  const TieSolution& solution_;
  std::size_t demand_;
  std::vector<std::uint32_t> instead_;
};

// A die that is there, costs nothing more and is this demand's own outline: it alone is served without any
// deviation. None where the demand has one already, or where a forced tie or another group's tooling has it.
std::optional<std::uint32_t> owned_outline(const TiePiece& piece, const PieceTies& ties, std::uint32_t d) {
  for (const std::vector<std::uint32_t>& together : piece.forced) {
    if (std::find(together.begin(), together.end(), d) != together.end()) return std::nullopt;
  }
  std::optional<std::uint32_t> found;
  for (std::size_t at = piece.first_owned; at < piece.serves.size(); ++at) {
    const auto c = static_cast<std::uint32_t>(at);
    const bool its_own =
        piece.cost[c] == 0.0 &&
        std::any_of(piece.serves[c].begin(), piece.serves[c].end(),
                    [&](const Serves& serves) { return serves.demand == d && serves.ratio == 0.0; });
    if (!its_own) continue;
    if (ties.die_of[d] == c) return std::nullopt;
    bool elsewhere = false;
    for (std::uint32_t other = 0; other < ties.die_of.size(); ++other)
      elsewhere = elsewhere || (ties.die_of[other] == c && key_of(piece, c, other) != key_of(piece, c, d));
    if (!found && !elsewhere) found = c;
  }
  return found;
}

}  // namespace

double seam_mismatch(const TieSeam& seam, std::uint32_t one, std::uint32_t other) {
  return std::abs(seam.other_length[other] - seam.one_length[one] - seam.wanted);
}

double seam_limit_of(const TieProblem& problem, const TieSeam& seam, std::size_t demand) {
  return std::max(seam.limit, seam_mismatch(seam, problem.pieces[seam.one].own[demand],
                                            problem.pieces[seam.other].own[demand]));
}

void count_anew(const TiePiece& piece, PieceTies& ties) {
  std::set<Key> used;
  for (std::size_t d = 0; d < ties.die_of.size(); ++d) used.insert(key_of(piece, ties.die_of[d], d));
  ties.dies.clear();
  ties.cost = 0.0;
  for (const auto& [candidate, tooling] : used) {
    ties.dies.push_back(candidate);
    ties.cost += piece.cost[candidate];
  }
}

void take_owned_outlines(const TieProblem& problem, const std::vector<std::size_t>& part,
                         TieSolution& solution, bool as_stamped) {
  for (std::uint32_t d = 0; d < problem.demands; ++d) {
    std::vector<std::uint32_t> instead(problem.pieces.size());
    std::vector<std::size_t> wanted;
    for (const std::size_t p : part) {
      const auto owned = owned_outline(problem.pieces[p], solution.pieces[p], d);
      if (!owned) continue;
      instead[p] = *owned;
      wanted.push_back(p);
    }
    if (wanted.empty()) continue;
    const std::set<std::size_t> changing = Swap(problem, solution, d, instead).most_of(wanted);
    int more = 0;
    std::map<std::size_t, PieceTies> before;
    for (const std::size_t p : changing) {
      PieceTies& ties = solution.pieces[p];
      before[p] = ties;
      ties.die_of[d] = instead[p];
      count_anew(problem.pieces[p], ties);
      if (as_stamped)
        more +=
            restamps_of(problem.pieces[p], ties.die_of) - restamps_of(problem.pieces[p], before[p].die_of);
    }
    if (more <= 0) continue;
    for (auto& [p, ties] : before) solution.pieces[p] = std::move(ties);
  }
}

void take_own_outlines(const TieProblem& problem, TieSolution& solution) {
  const std::vector<std::vector<std::size_t>> alone = alone_with(problem, solution);
  for (std::size_t d = 0; d < problem.demands; ++d) {
    std::vector<std::uint32_t> own;
    for (const TiePiece& piece : problem.pieces) own.push_back(piece.own[d]);
    const std::set<std::size_t> pieces = Swap(problem, solution, d, std::move(own)).most_of(alone[d]);
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

void measure_seams(const TieProblem& problem, TieSolution& solution) {
  solution.seams.clear();
  solution.worst_seam = 0.0;
  solution.seams_over = 0;
  for (const TieSeam& seam : problem.seams) {
    TieSeamServed served;
    for (std::size_t d = 0; d < problem.demands; ++d) {
      const double off =
          seam_mismatch(seam, solution.pieces[seam.one].die_of[d], solution.pieces[seam.other].die_of[d]);
      if (off > served.worst) served = {off, d, served.over};
      if (off > seam.limit) ++served.over;
    }
    solution.worst_seam = std::max(solution.worst_seam, served.worst);
    solution.seams_over += served.over;
    solution.seams.push_back(served);
  }
}

}  // namespace lastwright
