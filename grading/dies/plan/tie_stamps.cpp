#include "grading/dies/plan/tie_stamps.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <set>

#include "grading/dies/plan/tie_own.hpp"
#include "grading/dies/plan/tie_restamp_search.hpp"
#include "grading/dies/plan/tie_windows.hpp"

namespace lastwright {

namespace {

using Choice = std::map<std::size_t, PieceTies>;

std::vector<std::uint32_t> served_by(const std::vector<std::uint32_t>& die_of, std::uint32_t die) {
  std::vector<std::uint32_t> demands;
  for (std::uint32_t d = 0; d < die_of.size(); ++d) {
    if (die_of[d] == die) demands.push_back(d);
  }
  return demands;
}

// The least by which two costs differ: one die, or a hundredth of money.
double cost_step(const TieProblem& problem, const std::vector<std::size_t>& part) {
  double step = 1.0;
  for (const std::size_t p : part) {
    for (const double cost : problem.pieces[p].cost) {
      if (std::abs(cost - std::round(cost)) > 1e-9) step = 0.01;
    }
  }
  return step;
}

// The pieces of one part with each stamped die twice.
class Stamped {
 public:
  Stamped(const TieProblem& problem, const std::vector<std::size_t>& part, const TieSolution& chosen)
      : problem_(problem), part_(part), step_(cost_step(problem, part)) {
    int most = 0;
    for (const std::size_t p : part) {
      for (const TieStamp& stamp : problem.pieces[p].stamps) most += std::max(stamp.kept, stamp.changed);
    }
    unit_ = most + 1.0;
    anew_.demands = problem.demands;
    anew_.scale = problem.scale;
    for (const std::size_t p : part) add(problem.pieces[p], chosen.pieces[p]);
    for (const TieSeam& seam : problem.seams) {
      const auto one = std::find(part.begin(), part.end(), seam.one);
      const auto other = std::find(part.begin(), part.end(), seam.other);
      if (one == part.end() || other == part.end()) continue;
      TieSeam copy = seam;
      copy.one = static_cast<std::size_t>(one - part.begin());
      copy.other = static_cast<std::size_t>(other - part.begin());
      repeat(copy.one_length, copy.one);
      repeat(copy.other_length, copy.other);
      anew_.seams.push_back(std::move(copy));
    }
  }

  // Puts fewer restamps into `chosen` where they are found; returns how many there are at least.
  int improve(TieSolution& chosen) const {
    constexpr std::size_t kBrief = 20'000;  // states: a choice of least cost is there already
    constexpr int kRounds = 1000;
    CoverOptions options;
    options.states = kBrief;
    options.jointly = false;
    options.rounds = 0;
    Choice best = as_stamped(chosen);
    TieSolution found = solve_ties(anew_, options);
    Choice other;
    for (std::size_t k = 0; k < part_.size(); ++k) other[k] = std::move(found.pieces[k]);
    if (cost_of(other) < cost_of(best) - 0.5) best = std::move(other);
    if (cost_of(best) > found.bound + 0.5) {
      std::vector<std::size_t> all(part_.size());
      std::iota(all.begin(), all.end(), std::size_t{0});
      const TiePart whole(anew_, all);
      TieDomains domains = whole.starting_domains({});
      if (!whole.strike(domains)) {
        options.rounds = kRounds;
        chosen_by_windows(whole, whole.locked_groups(domains), domains, found.bound, options, best);
      }
    }
    const double cost = whole_cost(chosen);
    const int now = restamps(chosen);
    TieSolution fewer = chosen;
    for (std::size_t k = 0; k < part_.size(); ++k) {
      PieceTies& ties = fewer.pieces[part_[k]];
      ties.die_of.clear();
      for (const std::uint32_t c : best.at(k).die_of) ties.die_of.push_back(of_[k][c]);
      count_anew(problem_.pieces[part_[k]], ties);
    }
    if (whole_cost(fewer) <= cost + 1e-9 && restamps(fewer) < now) chosen = std::move(fewer);
    // Costs are whole units now, and what the bound has beyond those of this choice are restamps.
    const double beyond = found.bound - unit_ * std::round(cost / step_);
    constexpr double kWhole = 1e9;  // beyond it rounding would reach what is proved
    const int least = found.bound < kWhole ? static_cast<int>(std::ceil(beyond - 1e-3)) : 0;
    return std::clamp(least, 0, restamps(chosen));
  }

 private:
  void add(const TiePiece& piece, const PieceTies& chosen) {
    TiePiece twice = piece;
    twice.there.clear();
    twice.spared.clear();
    twice.stamps.clear();
    twice.outside.clear();
    std::vector<std::uint32_t> of(piece.serves.size());
    std::iota(of.begin(), of.end(), 0u);
    for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
      twice.cost[c] = unit_ * std::round(piece.cost[c] / step_);
      if (c < piece.stamps.size()) twice.cost[c] += piece.stamps[c].changed;
      // Worse than any die as it is stamped, which so serves all that it bears.
      for (Serves& serves : twice.serves[c])
        serves.ratio = 0.5 * problem_.scale + 0.5 * std::min(serves.ratio, 1e9);
      const bool out = c < piece.outside.size() && piece.outside[c] &&
                       !std::binary_search(chosen.dies.begin(), chosen.dies.end(), c);
      if (!out) continue;
      std::erase_if(twice.serves[c], [&](const Serves& serves) {
        return piece.safe.empty() || piece.safe[serves.demand] != c;
      });
    }
    for (std::uint32_t c = 0; c < piece.stamps.size(); ++c) {
      const TieStamp& stamp = piece.stamps[c];
      if (stamp.bears.empty() || stamp.kept >= stamp.changed || !serves_all(piece, c, stamp.bears)) continue;
      twice.cost.push_back(unit_ * std::round(piece.cost[c] / step_) + stamp.kept);
      twice.serves.emplace_back();
      constexpr double kFirst = 1e-6;  // of a tolerance: no outline of its own, but better than all others
      for (const std::uint32_t d : stamp.bears) twice.serves.back().push_back({d, kFirst, 0.0, {}});
      of.push_back(c);
    }
    of_.push_back(std::move(of));
    anew_.pieces.push_back(std::move(twice));
  }

  [[nodiscard]] bool serves_all(const TiePiece& piece, std::uint32_t c,
                                const std::vector<std::uint32_t>& demands) const {
    return std::all_of(demands.begin(), demands.end(), [&](std::uint32_t d) {
      if (!piece.group.empty() && piece.group[d] != piece.group[demands.front()]) return false;
      return std::any_of(piece.serves[c].begin(), piece.serves[c].end(), [&](const Serves& serves) {
        return serves.demand == d && (serves.ratio <= problem_.scale || piece.own[d] == c);
      });
    });
  }

  void repeat(std::vector<double>& lengths, std::size_t k) const {
    for (std::size_t c = lengths.size(); c < of_[k].size(); ++c) {
      const double same = lengths[of_[k][c]];
      lengths.push_back(same);
    }
  }

  // The choice with dies as they are stamped where they serve just that.
  [[nodiscard]] Choice as_stamped(const TieSolution& chosen) const {
    Choice choice;
    for (std::size_t k = 0; k < part_.size(); ++k) {
      const TiePiece& piece = problem_.pieces[part_[k]];
      PieceTies& ties = choice[k];
      ties.die_of = chosen.pieces[part_[k]].die_of;
      for (auto c = static_cast<std::uint32_t>(piece.serves.size()); c < of_[k].size(); ++c) {
        const std::vector<std::uint32_t>& bears = piece.stamps[of_[k][c]].bears;
        if (served_by(chosen.pieces[part_[k]].die_of, of_[k][c]) != bears) continue;
        for (const std::uint32_t d : bears) ties.die_of[d] = c;
      }
      count_anew(anew_.pieces[k], ties);
    }
    return choice;
  }

  static double cost_of(const Choice& choice) {
    return std::accumulate(choice.begin(), choice.end(), 0.0,
                           [](double sum, const auto& one) { return sum + one.second.cost; });
  }
  [[nodiscard]] double whole_cost(const TieSolution& of) const {
    return std::accumulate(part_.begin(), part_.end(), 0.0,
                           [&](double sum, std::size_t p) { return sum + of.pieces[p].cost; });
  }
  [[nodiscard]] int restamps(const TieSolution& of) const {
    return std::accumulate(part_.begin(), part_.end(), 0, [&](int sum, std::size_t p) {
      return sum + restamps_of(problem_.pieces[p], of.pieces[p].die_of);
    });
  }

  const TieProblem& problem_;
  const std::vector<std::size_t>& part_;
  double step_;
  double unit_ = 1.0;  // of a step of cost, in restamps
  TieProblem anew_;
  std::vector<std::vector<std::uint32_t>>
      of_;  // by piece of the part and candidate there: the candidate here
};

int restamps_in(const TieProblem& problem, const std::vector<std::size_t>& part,
                const TieSolution& solution) {
  int count = 0;
  for (const std::size_t p : part) count += restamps_of(problem.pieces[p], solution.pieces[p].die_of);
  return count;
}

}  // namespace

int restamps_of(const TiePiece& piece, const std::vector<std::uint32_t>& die_of) {
  if (piece.stamps.empty()) return 0;
  const std::set<std::uint32_t> used(die_of.begin(), die_of.end());
  int count = 0;
  for (const std::uint32_t c : used) {
    if (c >= piece.stamps.size()) continue;
    const TieStamp& stamp = piece.stamps[c];
    const bool as_it_is = !stamp.bears.empty() && served_by(die_of, c) == stamp.bears;
    count += as_it_is ? stamp.kept : stamp.changed;
  }
  return count;
}

int restamps_of(const TieProblem& problem, const TieSolution& solution) {
  std::vector<std::size_t> all(problem.pieces.size());
  std::iota(all.begin(), all.end(), std::size_t{0});
  return restamps_in(problem, all, solution);
}

int take_owned(const TieProblem& problem, const std::vector<std::size_t>& part, TieSolution& solution) {
  const bool stamped =
      std::any_of(part.begin(), part.end(), [&](std::size_t p) { return !problem.pieces[p].stamps.empty(); });
  if (!stamped) {
    take_owned_outlines(problem, part, solution);
    return 0;
  }
  TieSolution own = solution;  // one swap may need another before fewer dies are stamped anew
  take_owned_outlines(problem, part, own);
  if (restamps_in(problem, part, own) <= restamps_in(problem, part, solution)) solution = std::move(own);
  int least = 0;
  if (restamps_in(problem, part, solution) > 0) least = Stamped(problem, part, solution).improve(solution);
  if (restamps_in(problem, part, solution) > least && search_restamps(problem, part, solution))
    least = restamps_in(problem, part, solution);
  take_owned_outlines(problem, part, solution, true);
  return std::min(least, restamps_in(problem, part, solution));
}

}  // namespace lastwright
