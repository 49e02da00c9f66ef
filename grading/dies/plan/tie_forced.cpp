#include "grading/dies/plan/tie_forced.hpp"

#include <algorithm>
#include <limits>
#include <optional>

#include "grading/dies/plan/tie_domains.hpp"
#include "grading/dies/plan/tie_own.hpp"

namespace lastwright {

namespace {

double ratio_of(const TiePiece& piece, std::uint32_t candidate, std::uint32_t demand) {
  for (const Serves& serves : piece.serves[candidate]) {
    if (serves.demand == demand) return serves.ratio;
  }
  return std::numeric_limits<double>::infinity();
}

double worst_ratio(const TiePiece& piece, std::uint32_t candidate, const std::vector<std::uint32_t>& set) {
  double worst = 0.0;
  for (const std::uint32_t d : set) worst = std::max(worst, ratio_of(piece, candidate, d));
  return worst;
}

// Looks for choices of all pieces that match at some demands which forced ties hold together.
class Settling {
 public:
  Settling(const TiePart& part, std::vector<std::uint32_t> demands)
      : part_(part), demands_(std::move(demands)) {}

  // Leaves one choice for each piece and demand, if it can.
  bool settle(TieDomains& domains) {
    if (part_.strike(domains)) return false;
    const auto open = first_open(domains);
    if (!open) return true;
    const std::size_t p = open->first;
    const std::uint32_t d = open->second;
    const std::vector<std::uint32_t> set = set_of(p, d);
    std::vector<std::uint32_t> choices = domains[p][d];
    std::stable_sort(choices.begin(), choices.end(), [&](std::uint32_t a, std::uint32_t b) {
      return worst_ratio(part_.problem().pieces[p], a, set) < worst_ratio(part_.problem().pieces[p], b, set);
    });
    for (const std::uint32_t c : choices) {
      if (++tried_ > kMostTries) return false;
      TieDomains narrower = domains;
      for (const std::uint32_t s : set) narrower[p][s] = {c};
      if (!settle(narrower)) continue;
      domains = std::move(narrower);
      return true;
    }
    return false;
  }
  [[nodiscard]] bool gave_up() const { return tried_ > kMostTries; }

 private:
  static constexpr std::size_t kMostTries = 2000;  // one for each piece and demand unless it is stuck

  // With the fewest choices, more than one.
  [[nodiscard]] std::optional<std::pair<std::size_t, std::uint32_t>> first_open(
      const TieDomains& domains) const {
    std::optional<std::pair<std::size_t, std::uint32_t>> open;
    for (const std::size_t p : part_.pieces()) {
      for (const std::uint32_t d : demands_) {
        const std::size_t choices = domains[p][d].size();
        if (choices > 1 && (!open || choices < domains[open->first][open->second].size())) open = {p, d};
      }
    }
    return open;
  }
  [[nodiscard]] std::vector<std::uint32_t> set_of(std::size_t p, std::uint32_t d) const {
    for (const std::vector<std::uint32_t>& set : part_.problem().pieces[p].forced) {
      if (std::find(set.begin(), set.end(), d) != set.end()) return set;
    }
    return {d};
  }

  const TiePart& part_;
  std::vector<std::uint32_t> demands_;
  std::size_t tried_ = 0;
};

enum class Kept { kYes, kNo, kNotFound };

// Looks for choices that keep what is forced together with `demand`; notes them as safe.
Kept keep(TieProblem& problem, const std::vector<std::size_t>& pieces, std::uint32_t demand) {
  struct Safe {
    std::size_t piece;
    std::uint32_t demand;
    std::uint32_t candidate;
  };
  std::vector<Safe> found;
  for (const std::vector<std::size_t>& joined : parts_of(problem)) {
    const bool touched = std::any_of(pieces.begin(), pieces.end(), [&](std::size_t p) {
      return std::find(joined.begin(), joined.end(), p) != joined.end();
    });
    if (!touched) continue;
    const std::vector<std::uint32_t> demands = TiePart(problem, joined).held_with(demand);
    const TiePart part(problem, joined, demands);
    TieDomains domains = part.starting_domains({});
    Settling settling(part, demands);
    if (!settling.settle(domains)) return settling.gave_up() ? Kept::kNotFound : Kept::kNo;
    for (const std::size_t p : joined) {
      for (const std::uint32_t d : demands) found.push_back({p, d, domains[p][d].front()});
    }
  }
  for (const Safe& safe : found) {
    TiePiece& piece = problem.pieces[safe.piece];
    if (piece.safe.empty()) piece.safe = piece.own;
    piece.safe[safe.demand] = safe.candidate;
  }
  return Kept::kYes;
}

std::optional<ForcedMiss> piece_trouble(const TieProblem& problem, std::size_t p,
                                        const std::vector<std::uint32_t>& set) {
  const TiePiece& piece = problem.pieces[p];
  ForcedMiss miss;
  miss.piece = p;
  miss.demand = set.front();
  miss.value = std::numeric_limits<double>::infinity();
  for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
    if (piece.may_tie || c >= piece.first_owned)
      miss.value = std::min(miss.value, worst_ratio(piece, c, set) / problem.scale);
  }
  const auto group = [&](std::uint32_t d) { return piece.group.empty() ? 0 : piece.group[d]; };
  if (std::any_of(set.begin(), set.end(), [&](std::uint32_t d) { return group(d) != group(set.front()); })) {
    miss.trouble = ForcedTrouble::kTooling;
  } else if (miss.value > 1.0) {
    miss.trouble = piece.may_tie ? ForcedTrouble::kTolerance : ForcedTrouble::kNotTied;
  } else {
    return std::nullopt;
  }
  return miss;
}

// How far the mates are from matching at best when one die of `p` serves the whole set.
void seam_trouble(const TieProblem& problem, const TiePart& part, std::size_t s, std::size_t p,
                  const std::vector<std::uint32_t>& set, ForcedMiss& worst) {
  const TieSeam& seam = problem.seams[s];
  const std::size_t q = seam.one == p ? seam.other : seam.one;
  const TieChoices of_p = part.starting_choices(p, {});
  const TieChoices of_q = part.starting_choices(q, {});
  double best_excess = std::numeric_limits<double>::infinity();
  ForcedMiss best;
  for (const std::uint32_t c : of_p[set.front()]) {
    double excess = 0.0;
    ForcedMiss here;
    for (const std::uint32_t d : set) {
      double least = std::numeric_limits<double>::infinity();
      for (const std::uint32_t e : of_q[d])
        least = std::min(least, seam.one == p ? seam_mismatch(seam, c, e) : seam_mismatch(seam, e, c));
      if (least - seam_limit_of(problem, seam, d) <= excess) continue;
      excess = least - seam_limit_of(problem, seam, d);
      here = {0, 0, ForcedTrouble::kSeam, p, s, d, least};
    }
    if (excess >= best_excess) continue;
    best_excess = excess;
    best = here;
  }
  if (best_excess > 0.0 && (worst.trouble != ForcedTrouble::kSeam || best.value > worst.value)) worst = best;
}

// The set stands in `forced` of its pieces, and cannot be kept though each of them has dies for it.
ForcedMiss why_not(const TieProblem& problem, const ForcedTie& tie, const std::vector<std::uint32_t>& set,
                   Kept kept) {
  ForcedMiss miss;
  miss.piece = tie.pieces.front();
  miss.demand = set.front();
  miss.trouble = kept == Kept::kNotFound ? ForcedTrouble::kNotFound : ForcedTrouble::kTogether;
  const TiePart part(problem, {});
  for (std::size_t s = 0; s < problem.seams.size(); ++s) {
    const TieSeam& seam = problem.seams[s];
    if (seam.one == seam.other) continue;
    for (const std::size_t p : {seam.one, seam.other}) {
      if (std::find(tie.pieces.begin(), tie.pieces.end(), p) != tie.pieces.end())
        seam_trouble(problem, part, s, p, set, miss);
    }
  }
  return miss;
}

}  // namespace

std::vector<ForcedMiss> force_ties(TieProblem& problem, const std::vector<ForcedTie>& ties) {
  std::vector<ForcedMiss> misses;
  for (std::size_t t = 0; t < ties.size(); ++t) {
    const ForcedTie& tie = ties[t];
    for (std::size_t s = 0; s < tie.sets.size(); ++s) {
      const std::vector<std::uint32_t>& set = tie.sets[s];
      std::optional<ForcedMiss> miss;
      for (const std::size_t p : tie.pieces) {
        if (!miss) miss = piece_trouble(problem, p, set);
      }
      if (!miss) {
        for (const std::size_t p : tie.pieces) problem.pieces[p].forced.push_back(set);
        const Kept kept = keep(problem, tie.pieces, set.front());
        if (kept == Kept::kYes) continue;
        miss = why_not(problem, tie, set, kept);
        for (const std::size_t p : tie.pieces) problem.pieces[p].forced.pop_back();
      }
      miss->tie = t;
      miss->set = s;
      misses.push_back(*miss);
    }
  }
  return misses;
}

}  // namespace lastwright
