#include "grading/dies/plan/tie_windows.hpp"

#include <algorithm>
#include <limits>
#include <random>
#include <set>

namespace lastwright {

namespace {

using Die = std::pair<std::uint32_t, std::uint32_t>;  // candidate, tooling group
using Window = std::vector<std::uint32_t>;            // demands, ascending

class Windows {
 public:
  Windows(const TiePart& part, const TieGroups& groups, const TieDomains& domains,
          const CoverOptions& options, const std::map<std::size_t, PieceTies>& chosen)
      : part_(part), groups_(groups), domains_(domains), options_(options) {
    for (const auto& [p, ties] : chosen) die_of_[p] = ties.die_of;
    for (std::uint32_t d = 0; d < demands(); ++d) held_.push_back(part.held_with(d));
    cost_ = cost_of(die_of_);
  }

  double improve(double aim) {
    constexpr double kSame = 1e-9;  // of a cost: rounding of its sum
    constexpr std::size_t kOfAPlace =
        20;  // rounds for each size and width of a piece: all is tried many times
    const int rounds = static_cast<int>(std::min(static_cast<std::size_t>(std::max(0, options_.rounds)),
                                                 kOfAPlace * demands() * part_.pieces().size()));
    int since = 0;
    for (int k = 0; k < rounds && since < rounds / 2 && cost_ > aim + kSame; ++k) {
      ++since;
      Dies anew = die_of_;
      if (!chosen_anew(window(), anew)) continue;
      const double cost = cost_of(anew);
      if (cost > cost_ + kSame) continue;
      if (cost < cost_ - kSame) since = 0;
      cost_ = cost;
      die_of_ = std::move(anew);
    }
    return cost_;
  }

  void put(std::map<std::size_t, PieceTies>& chosen) const {
    for (auto& [p, ties] : chosen) {
      ties.die_of = die_of_.at(p);
      ties.dies.clear();
      ties.cost = 0.0;
      for (const auto& [candidate, tooling] : used(p, die_of_.at(p), {})) {
        ties.dies.push_back(candidate);
        ties.cost += problem().pieces[p].cost[candidate];
      }
    }
  }

 private:
  using Dies = std::map<std::size_t, std::vector<std::uint32_t>>;  // by piece and demand: the candidate

  [[nodiscard]] const TieProblem& problem() const { return part_.problem(); }
  [[nodiscard]] std::size_t demands() const { return problem().demands; }
  std::size_t thrown(std::size_t faces) { return static_cast<std::size_t>(dice_() % faces); }

  [[nodiscard]] std::uint32_t tooling(std::size_t p, std::size_t d) const {
    return problem().pieces[p].group.empty() ? 0 : problem().pieces[p].group[d];
  }
  // Dies of a piece that serve anything outside the window, ascending.
  [[nodiscard]] std::vector<Die> used(std::size_t p, const std::vector<std::uint32_t>& die_of,
                                      const Window& window) const {
    std::vector<Die> dies;
    dies.reserve(demands());
    auto next = window.begin();
    for (std::uint32_t d = 0; d < demands(); ++d) {
      if (next != window.end() && *next == d)
        ++next;
      else
        dies.emplace_back(die_of[d], tooling(p, d));
    }
    std::sort(dies.begin(), dies.end());
    dies.erase(std::unique(dies.begin(), dies.end()), dies.end());
    return dies;
  }
  [[nodiscard]] double cost_of(const Dies& all) const {
    double cost = 0.0;
    for (const auto& [p, die_of] : all) {
      for (const Die& die : used(p, die_of, {})) cost += problem().pieces[p].cost[die.first];
    }
    return cost;
  }

  // A stretch of sizes and widths, or what a few dies near each other serve; forced ties stay whole.
  Window window() {
    std::set<std::uint32_t> window;
    const std::size_t at = thrown(demands());
    if (thrown(2) == 0) {
      constexpr std::size_t kShortest = 4;
      constexpr std::size_t kLongest = 31;
      const std::size_t end = at + kShortest + thrown(kLongest - kShortest + 1);
      for (std::size_t d = at; d < std::min(demands(), end); ++d)
        window.insert(static_cast<std::uint32_t>(d));
    } else {
      constexpr std::size_t kMostDies = 4;
      constexpr std::size_t kNear = 12;  // demands
      for (std::size_t left = 1 + thrown(kMostDies); left > 0; --left) {
        const std::size_t of = std::min(demands() - 1, at + thrown(kNear));
        const std::vector<std::uint32_t>& die_of = die_of_.at(part_.pieces()[thrown(part_.pieces().size())]);
        for (std::uint32_t d = 0; d < demands(); ++d) {
          if (die_of[d] == die_of[of]) window.insert(d);
        }
      }
    }
    std::set<std::uint32_t> whole;
    for (const std::uint32_t d : window) whole.insert(held_[d].begin(), held_[d].end());
    return {whole.begin(), whole.end()};
  }

  // What may be chosen in the window; a part of it is left out in some rounds, so that others are tried.
  TieDomains choices_in(const Window& window) {
    TieDomains domains(problem().pieces.size());
    const std::size_t left_out = std::vector<std::size_t>{0, 2, 5}[thrown(3)];  // of ten
    for (const std::vector<std::size_t>& group : groups_) {
      std::vector<bool> out(problem().pieces[group.front()].serves.size(), false);
      for (std::size_t c = 0; left_out > 0 && c < out.size(); ++c) out[c] = thrown(10) < left_out;
      for (const std::size_t p : group) {
        domains[p].resize(demands());
        for (const std::uint32_t d : window) {
          for (const std::uint32_t c : domains_[p][d]) {
            if (c == die_of_.at(p)[d] || !out[c]) domains[p][d].push_back(c);
          }
        }
      }
    }
    return domains;
  }

  bool chosen_anew(const Window& window, Dies& anew) {
    const TiePart part(problem(), part_.pieces(), window);
    TieDomains domains = choices_in(window);
    if (part.strike(domains)) return false;
    TieGroups order = groups_;
    for (std::size_t k = order.size(); k > 1; --k) std::swap(order[k - 1], order[thrown(k)]);
    for (const std::vector<std::size_t>& group : order) {
      if (!covered(part, group, window, domains, anew)) return false;
      for (const std::size_t p : group) {
        for (const std::uint32_t d : window) domains[p][d] = {anew.at(p)[d]};
      }
      if (part.strike(domains)) return false;
    }
    return true;
  }

  // Dies that serve something outside the window cost nothing more.
  bool covered(const TiePart& part, const std::vector<std::size_t>& group, const Window& window,
               const TieDomains& domains, Dies& anew) const {
    const TieChoices choices = part.shared_choices(group, domains);
    std::map<std::pair<std::uint32_t, std::vector<std::uint32_t>>, std::vector<std::uint32_t>> rows;
    for (std::uint32_t k = 0; k < window.size(); ++k) {
      if (choices[window[k]].empty()) return false;
      std::vector<std::uint32_t> toolings;
      for (const std::size_t p : group) toolings.push_back(tooling(p, window[k]));
      for (const std::uint32_t c : choices[window[k]]) rows[{c, toolings}].push_back(k);
    }
    std::vector<std::vector<Die>> outside;
    for (const std::size_t p : group) outside.push_back(used(p, die_of_.at(p), window));
    std::vector<CoverColumn> columns;
    std::vector<std::uint32_t> candidates;
    for (auto& [key, served] : rows) {
      CoverColumn column{0.0, std::move(served)};
      for (std::size_t g = 0; g < group.size(); ++g) {
        const Die die{key.first, key.second[g]};
        if (!std::binary_search(outside[g].begin(), outside[g].end(), die))
          column.cost += problem().pieces[group[g]].cost[key.first];
      }
      columns.push_back(std::move(column));
      candidates.push_back(key.first);
    }
    const Cover cover = cheapest_cover(window.size(), columns, options_);
    if (!cover.possible) return false;
    std::vector<double> best(window.size(), std::numeric_limits<double>::infinity());
    for (const std::uint32_t column : cover.chosen) {
      for (const std::uint32_t k : columns[column].rows) {
        const double worst = worst_ratio(group, candidates[column], {window[k]});
        if (worst >= best[k]) continue;
        best[k] = worst;
        for (const std::size_t p : group) anew[p][window[k]] = candidates[column];
      }
    }
    for (const std::vector<std::uint32_t>& together : part.forced_together(group)) {
      if (std::binary_search(window.begin(), window.end(), together.front()))
        serve_together(group, together, window, columns, candidates, cover, anew);
    }
    return true;
  }

  void serve_together(const std::vector<std::size_t>& group, const Window& together, const Window& window,
                      const std::vector<CoverColumn>& columns, const std::vector<std::uint32_t>& candidates,
                      const Cover& cover, Dies& anew) const {
    const auto first = static_cast<std::uint32_t>(
        std::lower_bound(window.begin(), window.end(), together.front()) - window.begin());
    double best = std::numeric_limits<double>::infinity();
    for (const std::uint32_t column : cover.chosen) {
      if (!std::binary_search(columns[column].rows.begin(), columns[column].rows.end(), first)) continue;
      const double worst = worst_ratio(group, candidates[column], together);
      if (worst >= best) continue;
      best = worst;
      for (const std::size_t p : group) {
        for (const std::uint32_t d : together) anew[p][d] = candidates[column];
      }
    }
  }

  [[nodiscard]] double worst_ratio(const std::vector<std::size_t>& group, std::uint32_t c,
                                   const Window& demands) const {
    double worst = 0.0;
    for (const std::size_t p : group) {
      for (const Serves& serves : problem().pieces[p].serves[c]) {
        if (std::binary_search(demands.begin(), demands.end(), serves.demand))
          worst = std::max(worst, serves.ratio);
      }
    }
    return worst;
  }

  const TiePart& part_;
  const TieGroups& groups_;
  const TieDomains& domains_;
  CoverOptions options_;
  std::vector<Window> held_;  // by demand: what forced ties hold together with it
  Dies die_of_;
  double cost_ = 0.0;
  std::minstd_rand dice_{17};
};

}  // namespace

double chosen_by_windows(const TiePart& part, const TieGroups& groups, const TieDomains& domains, double aim,
                         const CoverOptions& options, std::map<std::size_t, PieceTies>& chosen) {
  Windows windows(part, groups, domains, options, chosen);
  const double cost = windows.improve(aim);
  windows.put(chosen);
  return cost;
}

}  // namespace lastwright
