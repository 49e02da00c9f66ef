#include "grading/dies/plan/tie_solve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <optional>
#include <set>

#include "geometry/invariant.hpp"
#include "grading/dies/plan/tie_domains.hpp"
#include "grading/dies/plan/tie_inside.hpp"
#include "grading/dies/plan/tie_joint.hpp"
#include "grading/dies/plan/tie_own.hpp"
#include "grading/dies/plan/tie_stamps.hpp"
#include "grading/dies/plan/tie_windows.hpp"

namespace lastwright {

namespace {

class Component {
 public:
  Component(const TieProblem& problem, std::vector<std::size_t> pieces, const CoverOptions& options)
      : problem_(problem), part_(problem, std::move(pieces)), options_(options) {}

  // What each piece costs alone, what choices are left, and a bound of all of them, which it returns.
  double start(TieSolution& solution) {
    for (const std::size_t p : part_.pieces()) {
      const TieChoices alone = part_.starting_choices(p, {});
      solution.pieces[p].alone = cover_of({p}, alone).bound;
    }
    domains_ = part_.starting_domains({});
    const auto unmatched = part_.strike(domains_);
    invariant(!unmatched, "own outlines always match, and so does what forced ties fall back on");
    groups_ = part_.locked_groups(domains_);
    for (const std::vector<std::size_t>& group : groups_) {
      const Cover cover = cover_of(group, part_.shared_choices(group, domains_));
      invariant(cover.possible, "own outlines serve themselves");
      group_bounds_.push_back(cover.bound);
    }
    return least_of_groups();
  }

  // After `start`: fills in the pieces of this component. Returns its cost and bound.
  std::pair<double, double> solve(TieSolution& solution) const {
    double bound = least_of_groups();
    std::vector<std::pair<double, std::size_t>> order;  // most dies per piece first
    for (std::size_t g = 0; g < groups_.size(); ++g)
      order.emplace_back(-group_bounds_[g] / static_cast<double>(groups_[g].size()), g);
    std::sort(order.begin(), order.end());
    TieGroups forward;
    for (const auto& [key, g] : order) forward.push_back(groups_[g]);
    TieGroups backward(forward.rbegin(), forward.rend());
    std::vector<TieGroups> plans{forward};
    if (groups_.size() > 1) plans.insert(plans.end(), {backward, {part_.pieces()}});
    if (groups_.size() > 2) {  // the heaviest group with each of the others, these as one
      const auto heaviest = std::max_element(
          groups_.begin(), groups_.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
      for (const std::vector<std::size_t>& with : groups_) {
        if (&with == &*heaviest) continue;
        TieGroups plan{*heaviest};
        plan.front().insert(plan.front().end(), with.begin(), with.end());
        std::sort(plan.front().begin(), plan.front().end());
        for (const std::vector<std::size_t>& other : forward) {
          if (other != *heaviest && other != with) plan.push_back(other);
        }
        plans.push_back(std::move(plan));
      }
    }
    double best = std::numeric_limits<double>::infinity();
    const auto try_plan = [&](const TieGroups& plan, const TieDomains* within) {
      std::map<std::size_t, PieceTies> found;
      double cost = follow(plan, within, found);
      if (cost > bound + 1e-9 && std::isfinite(cost) && groups_.size() > 1) cost = improved(groups_, found);
      if (cost >= best - 1e-9) return;
      best = cost;
      take(found, solution);
    };
    for (const auto& plan : plans) {
      if (best > bound + 1e-9) try_plan(plan, nullptr);
    }
    const bool jointly = groups_.size() > 1 && options_.jointly;
    if (jointly && best > bound + 1e-9) {
      const std::vector<JointGroup> joint = joint_groups(groups_, domains_);
      const JointBound together = joint_bound(problem_, joint, joint_seams(groups_), best);
      bound = std::max(bound, whole_bound(problem_, part_.pieces(), together.bound));
      for (const double least : {0.5, 0.2, 0.05}) {
        const TieDomains used = used_choices(groups_, joint, together, least);
        for (const TieGroups& plan : {forward, backward, TieGroups{part_.pieces()}}) {
          if (best > bound + 1e-9) try_plan(plan, &used);
        }
      }
    }
    if (groups_.size() > 1 && std::isfinite(best) && best > bound + 1e-9) {
      std::map<std::size_t, PieceTies> found;
      for (const std::size_t p : part_.pieces()) found[p] = solution.pieces[p];
      const double better = chosen_by_windows(part_, groups_, domains_, bound, options_, found);
      if (better < best - 1e-9) {
        best = better;
        take(found, solution);
      }
    }
    return {best, std::min(best, bound)};
  }

  // After `start`: covers one group after the other anew as if dies outside were dearer, all others as they
  // are, and takes what costs no more.
  void take_inside(TieSolution& solution) const {
    constexpr std::size_t kBrief = 20'000;  // states: a choice of least cost is there already
    const TieProblem dearer = with_outside_dearer(problem_);
    CoverOptions brief = options_;
    brief.states = std::min(brief.states, kBrief);
    std::map<std::size_t, PieceTies> found;
    for (const std::size_t p : part_.pieces()) {
      found[p] = solution.pieces[p];
      found[p].cost = cost_of(dearer.pieces[p], found[p].dies);
    }
    Component(dearer, part_.pieces(), brief).improved(groups_, found);
    double more = 0.0;
    for (auto& [p, ties] : found) {
      ties.cost = cost_of(problem_.pieces[p], ties.dies);
      more += ties.cost - solution.pieces[p].cost;
    }
    if (more <= 1e-9) take(found, solution);
  }

 private:
  static void take(std::map<std::size_t, PieceTies>& found, TieSolution& solution) {
    for (auto& [p, ties] : found) {
      ties.alone = solution.pieces[p].alone;
      solution.pieces[p] = std::move(ties);
    }
  }
  [[nodiscard]] double least_of_groups() const {
    return std::accumulate(group_bounds_.begin(), group_bounds_.end(), 0.0);
  }
  std::vector<JointGroup> joint_groups(const TieGroups& groups, const TieDomains& domains) const {
    std::vector<JointGroup> joint;
    for (const std::vector<std::size_t>& group : groups) {
      Columns all = columns_of(group, part_.shared_choices(group, domains), true);
      joint.push_back({std::move(all.columns), std::move(all.candidate)});
    }
    return joint;
  }
  std::vector<JointSeam> joint_seams(const TieGroups& groups) const {
    const auto group_of = [&](std::size_t p) {
      std::size_t g = 0;
      while (std::find(groups[g].begin(), groups[g].end(), p) == groups[g].end()) ++g;
      return g;
    };
    std::vector<JointSeam> seams;
    for (const TieSeam* seam : part_.seams()) {
      if (group_of(seam->one) != group_of(seam->other))
        seams.push_back({seam, group_of(seam->one), group_of(seam->other)});
    }
    return seams;
  }
  // What the relaxation uses at least so much.
  TieDomains used_choices(const TieGroups& groups, const std::vector<JointGroup>& joint,
                          const JointBound& together, double least) const {
    TieDomains used(problem_.pieces.size(), TieChoices(problem_.demands));
    for (std::size_t g = 0; g < groups.size(); ++g) {
      for (std::size_t k = 0; k < joint[g].columns.size(); ++k) {
        for (std::size_t r = 0; r < joint[g].columns[k].rows.size(); ++r) {
          if (together.use[g][k][r] < least) continue;
          for (const std::size_t p : groups[g])
            used[p][joint[g].columns[k].rows[r]].push_back(joint[g].candidate[k]);
        }
      }
    }
    return used;
  }
  struct Columns {
    std::vector<CoverColumn> columns;
    std::vector<std::uint32_t> candidate;  // by column
  };
  Columns columns_of(const std::vector<std::size_t>& group, const TieChoices& choices,
                     bool every_one = false) const {
    std::map<std::pair<std::uint32_t, std::vector<std::uint32_t>>, std::vector<std::uint32_t>> rows;
    for (std::uint32_t d = 0; d < problem_.demands; ++d) {
      std::vector<std::uint32_t> tooling;
      for (const std::size_t p : group)
        tooling.push_back(problem_.pieces[p].group.empty() ? 0 : problem_.pieces[p].group[d]);
      for (const std::uint32_t c : choices[d]) rows[{c, tooling}].push_back(d);
    }
    Columns result;
    const TiePiece& first = problem_.pieces[group.front()];
    for (auto& [key, served] : rows) {
      // A new die for one demand alone is its own outline, even where another would be cheaper by a hair's
      // breadth of rule.
      const std::uint32_t own = first.own[served.front()];
      if (!every_one && served.size() == 1 && key.first != own && key.first < first.first_owned &&
          std::binary_search(choices[served.front()].begin(), choices[served.front()].end(), own))
        continue;
      CoverColumn column;
      column.cost = 0.0;
      for (const std::size_t p : group) column.cost += problem_.pieces[p].cost[key.first];
      column.rows = std::move(served);
      result.columns.push_back(std::move(column));
      result.candidate.push_back(key.first);
    }
    return result;
  }
  Cover cover_of(const std::vector<std::size_t>& group, const TieChoices& choices) const {
    return cheapest_cover(problem_.demands, columns_of(group, choices).columns, options_);
  }

  [[nodiscard]] double ratio(std::size_t p, std::uint32_t c, std::size_t demand) const {
    for (const Serves& serves : problem_.pieces[p].serves[c]) {
      if (serves.demand == demand) return serves.ratio;
    }
    return std::numeric_limits<double>::infinity();
  }

  // Covers the groups in this order; each one's choice is struck through
  // its mates before the next. Where that leaves a demand without a match,
  // it is served by what is safe in every piece, and all begins again.
  double follow(const TieGroups& plan, const TieDomains* within,
                std::map<std::size_t, PieceTies>& found) const {
    std::vector<bool> safe(problem_.demands, false);
    for (std::size_t attempt = 0; attempt <= problem_.demands; ++attempt) {
      TieDomains domains = part_.starting_domains(safe);
      if (within != nullptr) part_.keep_within(*within, domains);
      found.clear();
      std::optional<std::size_t> empty = part_.strike(domains);
      if (!empty) empty = cover_in_turn(plan, domains, found);
      if (!empty) {
        double cost = 0.0;
        for (const auto& [p, ties] : found) cost += ties.cost;
        return cost;
      }
      if (safe[*empty]) break;
      for (const std::uint32_t d : part_.held_with(static_cast<std::uint32_t>(*empty))) safe[d] = true;
    }
    return std::numeric_limits<double>::infinity();
  }

  // Covers one group after the other anew, all others as they are chosen, until no group gains: never dearer.
  // What a group could not take because a mate chose first it may take when that mate has changed.
  double improved(const TieGroups& groups, std::map<std::size_t, PieceTies>& found) const {
    constexpr int kMostRounds = 20;  // each gains at least one die; more rounds than this were never seen
    const auto cost_of = [&](const std::vector<std::size_t>& group) {
      double cost = 0.0;
      for (const std::size_t p : group) cost += found.at(p).cost;
      return cost;
    };
    bool gained = true;
    for (int round = 0; gained && round < kMostRounds; ++round) {
      gained = false;
      for (const std::vector<std::size_t>& group : groups) {
        TieDomains domains = part_.starting_domains({});
        for (const auto& [p, ties] : found) {
          if (std::find(group.begin(), group.end(), p) != group.end()) continue;
          for (std::size_t d = 0; d < problem_.demands; ++d) domains[p][d] = {ties.die_of[d]};
        }
        std::map<std::size_t, PieceTies> anew;
        if (part_.strike(domains) || cover_in_turn({group}, domains, anew)) continue;
        double cost = 0.0;
        for (const auto& [p, ties] : anew) cost += ties.cost;
        if (cost >= cost_of(group) - 1e-9) continue;
        for (auto& [p, ties] : anew) found[p] = std::move(ties);
        gained = true;
      }
    }
    double cost = 0.0;
    for (const auto& [p, ties] : found) cost += ties.cost;
    return cost;
  }

  // A demand that is left without a choice, if there is one.
  std::optional<std::size_t> cover_in_turn(const TieGroups& plan, TieDomains& domains,
                                           std::map<std::size_t, PieceTies>& found) const {
    for (const std::vector<std::size_t>& group : plan) {
      const TieChoices choices = part_.shared_choices(group, domains);
      for (std::size_t d = 0; d < problem_.demands; ++d) {
        if (choices[d].empty()) return d;
      }
      const Columns columns = columns_of(group, choices);
      const Cover cover = cheapest_cover(problem_.demands, columns.columns, options_);
      std::vector<std::uint32_t> die_of(problem_.demands);
      std::vector<double> best(problem_.demands, std::numeric_limits<double>::infinity());
      for (const std::uint32_t k : cover.chosen) {
        for (const std::uint32_t d : columns.columns[k].rows) {
          double worst = 0.0;
          for (const std::size_t p : group) worst = std::max(worst, ratio(p, columns.candidate[k], d));
          if (worst >= best[d]) continue;
          best[d] = worst;
          die_of[d] = columns.candidate[k];
        }
      }
      for (const std::vector<std::uint32_t>& demands : part_.forced_together(group)) {
        const std::uint32_t one = best_for_all(group, demands, columns, cover);
        for (const std::uint32_t d : demands) die_of[d] = one;
      }
      for (const std::size_t p : group) {
        PieceTies& ties = found[p];
        ties.die_of = die_of;
        const TiePiece& piece = problem_.pieces[p];
        std::set<std::pair<std::uint32_t, std::uint32_t>> used;  // candidate, tooling group
        for (std::size_t d = 0; d < problem_.demands; ++d)
          used.emplace(die_of[d], piece.group.empty() ? 0 : piece.group[d]);
        for (const auto& [candidate, tooling] : used) {
          ties.dies.push_back(candidate);
          ties.cost += piece.cost[candidate];
        }
        for (std::size_t d = 0; d < problem_.demands; ++d) domains[p][d] = {die_of[d]};
      }
      if (const auto empty = part_.strike(domains)) return empty;
    }
    return std::nullopt;
  }

  // Of the chosen candidates that serve all of these demands, as a forced tie asks, the one that fits best.
  std::uint32_t best_for_all(const std::vector<std::size_t>& group, const std::vector<std::uint32_t>& demands,
                             const Columns& columns, const Cover& cover) const {
    double best = std::numeric_limits<double>::infinity();
    std::uint32_t best_one = 0;
    for (const std::uint32_t k : cover.chosen) {
      const std::vector<std::uint32_t>& rows = columns.columns[k].rows;
      if (!std::binary_search(rows.begin(), rows.end(), demands.front())) continue;
      double worst = 0.0;
      for (const std::uint32_t d : demands) {
        for (const std::size_t p : group) worst = std::max(worst, ratio(p, columns.candidate[k], d));
      }
      if (worst >= best) continue;
      best = worst;
      best_one = columns.candidate[k];
    }
    return best_one;
  }

  const TieProblem& problem_;
  TiePart part_;
  CoverOptions options_;
  TieDomains domains_;  // struck; with what follows, from `start`
  TieGroups groups_;
  std::vector<double> group_bounds_;
};

// Least cost first, then no die outside. Returns cost and bound; the bound is that of all choices.
std::pair<double, double> solve_part(const TieProblem& problem, const TieProblem* inside,
                                     const std::vector<std::size_t>& part, const CoverOptions& options,
                                     TieSolution& solution) {
  Component all(problem, part, options);
  const double least = all.start(solution);
  if (inside == nullptr || !any_outside(problem, part)) return all.solve(solution);
  TieSolution without;
  without.pieces.resize(problem.pieces.size());
  Component near(*inside, part, options);
  near.start(without);
  const double cost_without = near.solve(without).first;
  std::pair<double, double> found{cost_without, least};
  if (cost_without > least + 1e-9) found = all.solve(solution);
  if (cost_without <= found.first + 1e-9) {
    for (const std::size_t p : part) {
      without.pieces[p].alone = solution.pieces[p].alone;
      solution.pieces[p] = std::move(without.pieces[p]);
    }
    found.first = cost_without;
  }
  if (dies_outside(problem, solution, part) > 0) all.take_inside(solution);
  return {found.first, std::min(found.first, found.second)};
}

}  // namespace

TieSolution solve_ties(const TieProblem& problem, const CoverOptions& options) {
  TieSolution solution;
  solution.pieces.resize(problem.pieces.size());
  const std::optional<TieProblem> inside = without_outside(problem);
  for (std::vector<std::size_t>& part : parts_of(problem)) {
    const double bound = solve_part(problem, inside ? &*inside : nullptr, part, options, solution).second;
    solution.restamps_at_least += take_owned(problem, part, solution);
    double cost = 0.0;
    for (const std::size_t p : part) cost += solution.pieces[p].cost;
    if (cost > bound + 1e-6) solution.open.push_back({std::move(part), cost, bound});
    solution.cost += cost;
    solution.bound += bound;
  }
  solution.proven = solution.cost <= solution.bound + 1e-6;
  take_own_outlines(problem, solution);
  solution.restamps = restamps_of(problem, solution);
  measure_seams(problem, solution);
  return solution;
}

}  // namespace lastwright
