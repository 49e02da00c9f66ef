#include "grading/dies/tie_solve.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numeric>
#include <set>

#include "geometry/invariant.hpp"
#include "grading/dies/tie_joint.hpp"
#include "grading/dies/tie_own.hpp"

namespace lastwright {

namespace {

using Choices = std::vector<std::vector<std::uint32_t>>;  // by demand: candidates, ascending

// What may still serve each demand of each piece.
using Domains = std::vector<Choices>;

using Groups = std::vector<std::vector<std::size_t>>;

class Component {
 public:
  Component(const TieProblem& problem, std::vector<std::size_t> pieces, const CoverOptions& options)
      : problem_(problem), pieces_(std::move(pieces)), options_(options) {
    for (const TieSeam& seam : problem.seams) {
      if (std::find(pieces_.begin(), pieces_.end(), seam.one) != pieces_.end()) seams_.push_back(&seam);
    }
  }

  // Fills in the pieces of this component. Returns its cost and bound.
  std::pair<double, double> solve(TieSolution& solution) {
    for (const std::size_t p : pieces_) {
      const Choices alone = starting_choices(p, {});
      solution.pieces[p].alone = cover_of({p}, alone).bound;
    }
    Domains domains = starting_domains({});
    const bool sound = strike(domains);
    invariant(sound, "own outlines always match");
    const std::vector<std::vector<std::size_t>> groups = locked_groups(domains);
    double bound = 0.0;
    std::vector<std::pair<double, std::size_t>> order;  // most dies per piece first
    for (std::size_t g = 0; g < groups.size(); ++g) {
      const Cover cover = cover_of(groups[g], shared_choices(groups[g], domains));
      invariant(cover.possible, "own outlines serve themselves");
      bound += cover.bound;
      order.emplace_back(-cover.bound / static_cast<double>(groups[g].size()), g);
    }
    std::sort(order.begin(), order.end());
    std::vector<std::vector<std::size_t>> forward;
    for (const auto& [key, g] : order) forward.push_back(groups[g]);
    std::vector<std::vector<std::size_t>> backward(forward.rbegin(), forward.rend());
    std::vector<std::vector<std::vector<std::size_t>>> plans{forward};
    if (groups.size() > 1) plans.insert(plans.end(), {backward, {pieces_}});
    if (groups.size() > 2) {  // the heaviest group with each of the others, these as one
      const auto heaviest = std::max_element(
          groups.begin(), groups.end(), [](const auto& a, const auto& b) { return a.size() < b.size(); });
      for (const std::vector<std::size_t>& with : groups) {
        if (&with == &*heaviest) continue;
        std::vector<std::vector<std::size_t>> plan{*heaviest};
        plan.front().insert(plan.front().end(), with.begin(), with.end());
        std::sort(plan.front().begin(), plan.front().end());
        for (const std::vector<std::size_t>& other : forward) {
          if (other != *heaviest && other != with) plan.push_back(other);
        }
        plans.push_back(std::move(plan));
      }
    }
    double best = std::numeric_limits<double>::infinity();
    const auto try_plan = [&](const Groups& plan, const Domains* within) {
      std::map<std::size_t, PieceTies> found;
      double cost = follow(plan, within, found);
      if (cost > bound + 1e-9 && std::isfinite(cost) && groups.size() > 1) cost = improved(groups, found);
      if (cost >= best - 1e-9) return;
      best = cost;
      for (auto& [p, ties] : found) {
        ties.alone = solution.pieces[p].alone;
        solution.pieces[p] = std::move(ties);
      }
    };
    for (const auto& plan : plans) {
      if (best > bound + 1e-9) try_plan(plan, nullptr);
    }
    const bool jointly = groups.size() > 1 && options_.jointly;
    for (double before = std::numeric_limits<double>::infinity(); jointly && best < before - 1e-9;) {
      if (best <= bound + 1e-9) break;
      before = best;  // a better aim leads the prices higher: once more where a better choice is found
      const std::vector<JointGroup> joint = joint_groups(groups, domains);
      const JointBound together = joint_bound(problem_, joint, joint_seams(groups), best);
      bound = std::max(bound, rounded_up(together.bound));
      for (const double least : {0.5, 0.2, 0.05}) {
        const Domains used = used_choices(groups, joint, together, least);
        for (const Groups& plan : {forward, backward, Groups{pieces_}}) {
          if (best > bound + 1e-9) try_plan(plan, &used);
        }
      }
    }
    return {best, std::min(best, bound)};
  }

 private:
  std::vector<JointGroup> joint_groups(const Groups& groups, const Domains& domains) const {
    std::vector<JointGroup> joint;
    for (const std::vector<std::size_t>& group : groups) {
      Columns all = columns_of(group, shared_choices(group, domains), true);
      joint.push_back({std::move(all.columns), std::move(all.candidate)});
    }
    return joint;
  }
  std::vector<JointSeam> joint_seams(const Groups& groups) const {
    const auto group_of = [&](std::size_t p) {
      std::size_t g = 0;
      while (std::find(groups[g].begin(), groups[g].end(), p) == groups[g].end()) ++g;
      return g;
    };
    std::vector<JointSeam> seams;
    for (const TieSeam* seam : seams_) {
      if (group_of(seam->one) != group_of(seam->other))
        seams.push_back({seam, group_of(seam->one), group_of(seam->other)});
    }
    return seams;
  }
  // What the relaxation uses at least so much.
  Domains used_choices(const Groups& groups, const std::vector<JointGroup>& joint, const JointBound& together,
                       double least) const {
    Domains used(problem_.pieces.size(), Choices(problem_.demands));
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
  // Whole costs, as dies are counted, add up to a whole number.
  [[nodiscard]] double rounded_up(double bound) const {
    constexpr double kRounding = 1e-6;
    for (const std::size_t p : pieces_) {
      for (const double cost : problem_.pieces[p].cost) {
        if (cost != std::floor(cost)) return bound - kRounding;
      }
    }
    return std::ceil(bound - kRounding);
  }

  // Own outlines that miss the limit already are not to be made worse, and never struck out.
  [[nodiscard]] bool match(const TieSeam& seam, std::size_t demand, std::uint32_t one,
                           std::uint32_t other) const {
    return seam_mismatch(seam, one, other) <= seam_limit_of(problem_, seam, demand);
  }

  Choices starting_choices(std::size_t p, const std::vector<bool>& own_only) const {
    const TiePiece& piece = problem_.pieces[p];
    Choices choices(problem_.demands);
    for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
      for (const Serves& serves : piece.serves[c]) {
        const bool own = piece.own[serves.demand] == c;
        const bool barred =
            (!piece.may_tie && c < piece.first_owned) || (!own_only.empty() && own_only[serves.demand]);
        if (own || (!barred && serves.ratio <= problem_.scale)) choices[serves.demand].push_back(c);
      }
    }
    return choices;
  }
  Domains starting_domains(const std::vector<bool>& own_only) const {
    Domains domains(problem_.pieces.size());
    for (const std::size_t p : pieces_) domains[p] = starting_choices(p, own_only);
    for (const TieSeam* seam : seams_) {  // both edges on one piece: the choice matches itself or falls
      if (seam->one != seam->other) continue;
      for (std::size_t d = 0; d < problem_.demands; ++d) {
        std::erase_if(domains[seam->one][d], [&](std::uint32_t c) { return !match(*seam, d, c, c); });
      }
    }
    return domains;
  }

  // Removes choices of one side that no choice of the other matches. False when a demand is left with none.
  bool strike_side(const TieSeam& seam, bool one_side, Domains& domains, bool& changed) const {
    const std::size_t p = one_side ? seam.one : seam.other;
    const std::size_t q = one_side ? seam.other : seam.one;
    std::vector<std::pair<double, std::uint32_t>> mates;  // by length of the seam's edge
    for (std::size_t d = 0; d < problem_.demands; ++d) {
      mates.clear();
      for (const std::uint32_t e : domains[q][d])
        mates.emplace_back((one_side ? seam.other_length : seam.one_length)[e], e);
      std::sort(mates.begin(), mates.end());
      const std::size_t gone = std::erase_if(domains[p][d], [&](std::uint32_t c) {
        const double wanted =
            one_side ? seam.one_length[c] + seam.wanted : seam.other_length[c] - seam.wanted;
        const auto above = std::lower_bound(mates.begin(), mates.end(), std::pair{wanted, std::uint32_t{0}});
        const auto fits = [&](std::uint32_t e) {
          return one_side ? match(seam, d, c, e) : match(seam, d, e, c);
        };
        return !(above != mates.end() && fits(above->second)) &&
               !(above != mates.begin() && fits(std::prev(above)->second));
      });
      changed = changed || gone > 0;
      if (domains[p][d].empty()) {
        empty_demand_ = d;
        return false;
      }
    }
    return true;
  }
  bool strike(Domains& domains) const {
    for (bool changed = true; changed;) {
      changed = false;
      for (const TieSeam* seam : seams_) {
        if (seam->one == seam->other) continue;
        if (!strike_side(*seam, true, domains, changed) || !strike_side(*seam, false, domains, changed))
          return false;
      }
    }
    return true;
  }

  // Pieces joined by a seam that matches at the same place of the grade only, and at every such place.
  std::vector<std::vector<std::size_t>> locked_groups(const Domains& domains) const {
    std::vector<std::size_t> leader(problem_.pieces.size());
    std::iota(leader.begin(), leader.end(), std::size_t{0});
    const auto find = [&](std::size_t p) {
      while (leader[p] != p) p = leader[p];
      return p;
    };
    for (const TieSeam* seam : seams_) {
      if (seam->one != seam->other && locked(*seam, domains)) leader[find(seam->other)] = find(seam->one);
    }
    std::map<std::size_t, std::vector<std::size_t>> groups;
    for (const std::size_t p : pieces_) groups[find(p)].push_back(p);
    std::vector<std::vector<std::size_t>> list;
    for (auto& [key, group] : groups) list.push_back(std::move(group));
    return list;
  }
  bool locked(const TieSeam& seam, const Domains& domains) const {
    if (problem_.pieces[seam.one].group != problem_.pieces[seam.other].group) return false;
    for (std::size_t d = 0; d < problem_.demands; ++d) {
      for (const std::uint32_t c : domains[seam.one][d]) {
        for (const std::uint32_t e : domains[seam.other][d]) {
          if (match(seam, d, c, e) != (c == e)) return false;
        }
      }
    }
    return true;
  }

  // Choices all pieces of a group have in common and whose seams within the group match.
  Choices shared_choices(const std::vector<std::size_t>& group, const Domains& domains) const {
    Choices shared = domains[group.front()];
    for (std::size_t d = 0; d < problem_.demands; ++d) {
      for (std::size_t k = 1; k < group.size(); ++k) {
        const std::vector<std::uint32_t>& other = domains[group[k]][d];
        std::erase_if(shared[d],
                      [&](std::uint32_t c) { return !std::binary_search(other.begin(), other.end(), c); });
      }
      for (const TieSeam* seam : seams_) {
        const auto in = [&](std::size_t p) {
          return std::find(group.begin(), group.end(), p) != group.end();
        };
        if (group.size() < 2 || !in(seam->one) || !in(seam->other)) continue;
        std::erase_if(shared[d], [&](std::uint32_t c) { return !match(*seam, d, c, c); });
      }
    }
    return shared;
  }

  struct Columns {
    std::vector<CoverColumn> columns;
    std::vector<std::uint32_t> candidate;  // by column
  };
  Columns columns_of(const std::vector<std::size_t>& group, const Choices& choices,
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
  Cover cover_of(const std::vector<std::size_t>& group, const Choices& choices) const {
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
  // it is served by its own outlines in every piece, and all begins again.
  double follow(const std::vector<std::vector<std::size_t>>& plan, const Domains* within,
                std::map<std::size_t, PieceTies>& found) const {
    std::vector<bool> own_only(problem_.demands, false);
    for (std::size_t attempt = 0; attempt <= problem_.demands; ++attempt) {
      Domains domains = starting_domains(own_only);
      if (within != nullptr) keep_within(*within, domains);
      found.clear();
      if (strike(domains) && cover_in_turn(plan, domains, found)) {
        double cost = 0.0;
        for (const auto& [p, ties] : found) cost += ties.cost;
        return cost;
      }
      if (own_only[empty_demand_]) break;
      own_only[empty_demand_] = true;
    }
    return std::numeric_limits<double>::infinity();
  }

  // Choices that are in both, where there are any.
  void keep_within(const Domains& within, Domains& domains) const {
    for (const std::size_t p : pieces_) {
      for (std::size_t d = 0; d < problem_.demands; ++d) {
        std::vector<std::uint32_t> both;
        std::set_intersection(domains[p][d].begin(), domains[p][d].end(), within[p][d].begin(),
                              within[p][d].end(), std::back_inserter(both));
        if (!both.empty()) domains[p][d] = std::move(both);
      }
    }
  }

  // Covers one group after the other anew, all others as they are chosen, until no group gains: never dearer.
  // What a group could not take because a mate chose first it may take when that mate has changed.
  double improved(const std::vector<std::vector<std::size_t>>& groups,
                  std::map<std::size_t, PieceTies>& found) const {
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
        Domains domains = starting_domains({});
        for (const auto& [p, ties] : found) {
          if (std::find(group.begin(), group.end(), p) != group.end()) continue;
          for (std::size_t d = 0; d < problem_.demands; ++d) domains[p][d] = {ties.die_of[d]};
        }
        std::map<std::size_t, PieceTies> anew;
        if (!strike(domains) || !cover_in_turn({group}, domains, anew)) continue;
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

  bool cover_in_turn(const std::vector<std::vector<std::size_t>>& plan, Domains& domains,
                     std::map<std::size_t, PieceTies>& found) const {
    for (const std::vector<std::size_t>& group : plan) {
      const Choices choices = shared_choices(group, domains);
      for (std::size_t d = 0; d < problem_.demands; ++d) {
        if (!choices[d].empty()) continue;
        empty_demand_ = d;
        return false;
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
      if (!strike(domains)) return false;
    }
    return true;
  }

  const TieProblem& problem_;
  std::vector<std::size_t> pieces_;
  CoverOptions options_;
  std::vector<const TieSeam*> seams_;
  mutable std::size_t empty_demand_ = 0;
};

std::vector<std::vector<std::size_t>> components_of(const TieProblem& problem) {
  std::vector<std::size_t> leader(problem.pieces.size());
  std::iota(leader.begin(), leader.end(), std::size_t{0});
  const auto find = [&](std::size_t p) {
    while (leader[p] != p) p = leader[p];
    return p;
  };
  for (const TieSeam& seam : problem.seams) leader[find(seam.other)] = find(seam.one);
  std::map<std::size_t, std::vector<std::size_t>> parts;
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) parts[find(p)].push_back(p);
  std::vector<std::vector<std::size_t>> list;
  for (auto& [key, part] : parts) list.push_back(std::move(part));
  return list;
}

}  // namespace

TieSolution solve_ties(const TieProblem& problem, const CoverOptions& options) {
  TieSolution solution;
  solution.pieces.resize(problem.pieces.size());
  for (std::vector<std::size_t>& part : components_of(problem)) {
    const auto [cost, bound] = Component(problem, std::move(part), options).solve(solution);
    solution.cost += cost;
    solution.bound += bound;
  }
  solution.proven = solution.cost <= solution.bound + 1e-6;
  take_own_outlines(problem, solution);
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
  return solution;
}

}  // namespace lastwright
