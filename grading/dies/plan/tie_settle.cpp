#include "grading/dies/plan/tie_settle.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "grading/dies/plan/tie_own.hpp"
#include "grading/dies/plan/tie_stamps.hpp"

namespace lastwright {

namespace {

using Demands = std::vector<std::uint32_t>;  // ascending
constexpr double kServesNot = std::numeric_limits<double>::infinity();

// What is sought the least of: the greatest share of all dies that change, then the sum of their greatest.
struct Off {
  double greatest = 0.0;
  double sum = 0.0;
  void add(double share) {
    greatest = std::max(greatest, share);
    sum += share;
  }
  [[nodiscard]] bool less_than(const Off& other) const {
    constexpr double kSame = 1e-6;  // of a tolerance
    if (greatest < other.greatest - kSame) return true;
    return greatest < other.greatest + kSame && sum < other.sum - kSame;
  }
};

class Settle {
 public:
  Settle(const TieProblem& problem, TieSolution& solution, const TellsSize& tells)
      : problem_(problem), solution_(solution), tells_(tells), seams_(problem.pieces.size()) {
    for (const TieSeam& seam : problem.seams) {
      seams_[seam.one].push_back(&seam);
      if (seam.other != seam.one) seams_[seam.other].push_back(&seam);
    }
    for (const TiePiece& piece : problem.pieces) {
      std::vector<double> ratio(piece.serves.size() * problem.demands, kServesNot);
      for (std::size_t c = 0; c < piece.serves.size(); ++c) {
        for (const Serves& serves : piece.serves[c]) {
          const bool own = piece.own[serves.demand] == c;
          const bool barred = !piece.may_tie && c < piece.first_owned;
          if (own || (!barred && serves.ratio <= problem.scale))
            ratio[c * problem.demands + serves.demand] = own ? 0.0 : serves.ratio;
        }
      }
      ratio_.push_back(std::move(ratio));
    }
  }

  void run() {
    constexpr int kMostRounds = 10;
    for (int round = 0; round < kMostRounds; ++round) {
      bool changed = false;
      for (std::uint32_t d = 0; d < problem_.demands; ++d) {
        for (std::size_t p = 0; p < problem_.pieces.size(); ++p) changed = given_anew(p, d) || changed;
      }
      for (std::size_t p = 0; p < problem_.pieces.size(); ++p) {
        std::set<std::pair<std::uint32_t, std::uint32_t>> seen;  // die and group
        for (std::uint32_t d = 0; d < problem_.demands; ++d) {
          const std::pair<std::uint32_t, std::uint32_t> die{die_of(p)[d], group(p, d)};
          if (!seen.insert(die).second) continue;
          if (!drawn_anew(p, d)) continue;
          seen.emplace(die_of(p)[d], group(p, d));
          changed = true;
        }
      }
      if (!changed) return;
    }
  }

 private:
  [[nodiscard]] Demands& die_of(std::size_t p) const { return solution_.pieces[p].die_of; }
  [[nodiscard]] std::uint32_t group(std::size_t p, std::uint32_t d) const {
    return problem_.pieces[p].group.empty() ? 0 : problem_.pieces[p].group[d];
  }
  [[nodiscard]] double ratio(std::size_t p, std::uint32_t c, std::uint32_t d) const {
    return ratio_[p][c * problem_.demands + d];
  }
  [[nodiscard]] double worst(std::size_t p, std::uint32_t c, const Demands& demands) const {
    double greatest = 0.0;
    for (const std::uint32_t d : demands) greatest = std::max(greatest, ratio(p, c, d));
    return greatest;
  }
  // What this die serves in a tooling group.
  [[nodiscard]] Demands served_by(std::size_t p, std::uint32_t c, std::uint32_t tooling) const {
    Demands demands;
    for (std::uint32_t e = 0; e < problem_.demands; ++e) {
      if (die_of(p)[e] == c && group(p, e) == tooling) demands.push_back(e);
    }
    return demands;
  }
  // What the die that serves `d` serves in its tooling group.
  [[nodiscard]] Demands served_with(std::size_t p, std::uint32_t d) const {
    return served_by(p, die_of(p)[d], group(p, d));
  }
  [[nodiscard]] bool matches(const TieSeam& seam, std::uint32_t d, std::uint32_t one,
                             std::uint32_t other) const {
    return seam_mismatch(seam, one, other) <= seam_limit_of(problem_, seam, d);
  }
  // Of a piece with this die, and its mate with that one.
  [[nodiscard]] bool matches_mate(const TieSeam& seam, std::size_t p, std::uint32_t d, std::uint32_t die,
                                  std::uint32_t mate) const {
    return seam.one == p ? matches(seam, d, die, mate) : matches(seam, d, mate, die);
  }
  static std::size_t mate_of(const TieSeam& seam, std::size_t p) {
    return seam.one == p ? seam.other : seam.one;
  }
  [[nodiscard]] bool told(std::size_t p, std::uint32_t c, const Demands& demands) const {
    return tells_ && c < problem_.pieces[p].first_owned && tells_(p, c, demands);
  }

  // --- one size and width to another of the chosen dies

  bool given_anew(std::size_t p, std::uint32_t d) {
    const std::uint32_t now = die_of(p)[d];
    if (ratio(p, now, d) <= 0.0) return false;
    std::vector<std::pair<double, std::uint32_t>> better;
    for (const std::uint32_t c : others(p, d)) {
      if (ratio(p, c, d) < ratio(p, now, d)) better.emplace_back(ratio(p, c, d), c);
    }
    std::sort(better.begin(), better.end());
    for (const auto& [share, c] : better) {
      const auto changes = with_mates(p, d, c);
      if (changes && take(*changes, d)) return true;
    }
    return false;
  }
  // Dies of this piece and tooling group that serve others.
  [[nodiscard]] std::set<std::uint32_t> others(std::size_t p, std::uint32_t d) const {
    std::set<std::uint32_t> dies;
    for (std::uint32_t e = 0; e < problem_.demands; ++e) {
      if (die_of(p)[e] != die_of(p)[d] && group(p, e) == group(p, d) &&
          ratio(p, die_of(p)[e], d) < kServesNot)
        dies.insert(die_of(p)[e]);
    }
    return dies;
  }
  // By piece its other die: of each mate that no longer matches, the best that matches all that has changed.
  [[nodiscard]] std::optional<std::map<std::size_t, std::uint32_t>> with_mates(std::size_t p, std::uint32_t d,
                                                                               std::uint32_t c) const {
    std::map<std::size_t, std::uint32_t> changes{{p, c}};
    std::vector<std::size_t> open{p};
    while (!open.empty()) {
      const std::size_t here = open.back();
      open.pop_back();
      for (const TieSeam* seam : seams_[here]) {
        const std::size_t mate = mate_of(*seam, here);
        const auto there = changes.find(mate);
        const std::uint32_t its = there == changes.end() ? die_of(mate)[d] : there->second;
        if (matches_mate(*seam, here, d, changes.at(here), its)) continue;
        if (there != changes.end()) return std::nullopt;
        std::optional<std::uint32_t> best;
        for (const std::uint32_t e : others(mate, d)) {
          if (best && ratio(mate, e, d) >= ratio(mate, *best, d)) continue;
          if (matches_all(mate, d, e, changes)) best = e;
        }
        if (!best) return std::nullopt;
        changes.emplace(mate, *best);
        open.push_back(mate);
      }
    }
    return changes;
  }
  [[nodiscard]] bool matches_all(std::size_t p, std::uint32_t d, std::uint32_t c,
                                 const std::map<std::size_t, std::uint32_t>& changes) const {
    return std::all_of(seams_[p].begin(), seams_[p].end(), [&](const TieSeam* seam) {
      const auto there = changes.find(mate_of(*seam, p));
      return there == changes.end() || matches_mate(*seam, p, d, c, there->second);
    });
  }

  bool take(const std::map<std::size_t, std::uint32_t>& changes, std::uint32_t d) {
    Off before;
    Off after;
    for (const auto& [p, c] : changes) {
      const TiePiece& piece = problem_.pieces[p];
      const bool forced = std::any_of(piece.forced.begin(), piece.forced.end(), [&](const Demands& together) {
        return std::find(together.begin(), together.end(), d) != together.end();
      });
      if (forced || served_with(p, d).size() < 2) return false;  // as many dies as before
      before.add(ratio(p, die_of(p)[d], d));
      after.add(ratio(p, c, d));
    }
    if (!after.less_than(before)) return false;
    std::map<std::size_t, std::uint32_t> was;
    int restamps = 0;
    bool lost = false;
    for (const auto& [p, c] : changes) {
      Demands gains = served_by(p, c, group(p, d));
      const bool had = told(p, c, gains);
      gains.insert(std::lower_bound(gains.begin(), gains.end(), d), d);
      lost = lost || (had && !told(p, c, gains)) ||
             (told(p, die_of(p)[d], served_with(p, d)) && !told(p, c, gains));
      restamps -= restamps_of(problem_.pieces[p], die_of(p));
      was[p] = std::exchange(die_of(p)[d], c);
      restamps += restamps_of(problem_.pieces[p], die_of(p));
    }
    if (!lost && restamps <= 0) return true;
    for (const auto& [p, c] : was) die_of(p)[d] = c;
    return false;
  }

  // --- a die at another place

  bool drawn_anew(std::size_t p, std::uint32_t d) {
    if (die_of(p)[d] >= problem_.pieces[p].first_owned) return false;
    const Demands demands = served_with(p, d);
    if (worst(p, die_of(p)[d], demands) <= 0.0) return false;
    std::optional<std::pair<std::uint32_t, Moves>> best;
    Off least;
    const auto places = static_cast<std::uint32_t>(
        std::min(problem_.pieces[p].first_owned, problem_.pieces[p].serves.size()));
    for (std::uint32_t c = 0; c < places; ++c) {
      if (!may_be_at(p, demands, c)) continue;
      std::optional<Moves> moves = moved_with_mates(p, demands, c);
      if (!moves) continue;
      Off before;
      Off after;
      for (const auto& [mate, its] : *moves) {
        before.add(worst(mate, die_of(mate)[its.front()], its));
        after.add(worst(mate, c, its));
      }
      if (!after.less_than(before)) continue;
      // What moves with it may be more or fewer dies: the least greatest share, then the most gained.
      after.sum -= before.sum;
      if ((best && !after.less_than(least)) || marks_lost(*moves, c)) continue;
      least = after;
      best.emplace(c, std::move(*moves));
    }
    if (!best) return false;
    for (const auto& [mate, its] : best->second) {
      for (const std::uint32_t e : its) die_of(mate)[e] = best->first;
    }
    return true;
  }

  using Moves = std::vector<std::pair<std::size_t, Demands>>;  // dies by piece and what they serve

  [[nodiscard]] bool may_be_at(std::size_t p, const Demands& demands, std::uint32_t c) const {
    const TiePiece& piece = problem_.pieces[p];
    const std::uint32_t now = die_of(p)[demands.front()];
    if (now >= piece.first_owned || c == now || piece.cost[c] > piece.cost[now] + 1e-9) return false;
    const auto outside = [&](std::uint32_t one) { return one < piece.outside.size() && piece.outside[one]; };
    if (outside(c) && !outside(now)) return false;
    if (worst(p, c, demands) == kServesNot) return false;
    return served_by(p, c, group(p, demands.front())).empty();  // else two dies would be one
  }

  // All dies that have to move there too, so that every seam still matches.
  [[nodiscard]] std::optional<Moves> moved_with_mates(std::size_t p, const Demands& demands,
                                                      std::uint32_t c) const {
    Moves moves{{p, demands}};
    const auto moved = [&](std::size_t piece, std::uint32_t d) {
      return std::any_of(moves.begin(), moves.end(), [&](const auto& one) {
        return one.first == piece && std::binary_search(one.second.begin(), one.second.end(), d);
      });
    };
    for (std::size_t k = 0; k < moves.size(); ++k) {
      const auto [here, its] = moves[k];
      for (const TieSeam* seam : seams_[here]) {
        const std::size_t mate = mate_of(*seam, here);
        for (const std::uint32_t d : its) {
          const bool with = moved(mate, d);
          if (matches_mate(*seam, here, d, c, with ? c : die_of(mate)[d])) continue;
          if (with) return std::nullopt;
          Demands more = served_with(mate, d);
          const bool twice = std::any_of(moves.begin(), moves.end(), [&](const auto& one) {
            return one.first == mate && group(mate, one.second.front()) == group(mate, d);
          });
          if (twice || !may_be_at(mate, more, c)) return std::nullopt;
          moves.emplace_back(mate, std::move(more));
        }
      }
    }
    // A mate that moved later may have been matched where it was.
    for (const auto& [here, its] : moves) {
      for (const TieSeam* seam : seams_[here]) {
        const std::size_t mate = mate_of(*seam, here);
        for (const std::uint32_t d : its) {
          if (!matches_mate(*seam, here, d, c, moved(mate, d) ? c : die_of(mate)[d])) return std::nullopt;
        }
      }
    }
    return moves;
  }
  [[nodiscard]] bool marks_lost(const Moves& moves, std::uint32_t c) const {
    return std::any_of(moves.begin(), moves.end(), [&](const auto& one) {
      return told(one.first, die_of(one.first)[one.second.front()], one.second) &&
             !told(one.first, c, one.second);
    });
  }

  const TieProblem& problem_;
  TieSolution& solution_;
  const TellsSize& tells_;
  std::vector<std::vector<const TieSeam*>> seams_;  // by piece
  std::vector<std::vector<double>> ratio_;  // by piece, candidate and demand: none where it serves not
};

}  // namespace

void settle_dies(const TieProblem& problem, TieSolution& solution, const TellsSize& tells) {
  Settle(problem, solution, tells).run();
  solution.cost = 0.0;
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    count_anew(problem.pieces[p], solution.pieces[p]);
    solution.cost += solution.pieces[p].cost;
  }
  for (OpenTies& open : solution.open) {
    open.cost = 0.0;
    for (const std::size_t p : open.pieces) open.cost += solution.pieces[p].cost;
    open.bound = std::min(open.bound, open.cost);
  }
  solution.bound = std::min(solution.bound, solution.cost);
  solution.restamps = restamps_of(problem, solution);
  solution.restamps_at_least = std::min(solution.restamps_at_least, solution.restamps);
  measure_seams(problem, solution);
}

}  // namespace lastwright
