#include "grading/dies/plan/tie_domains.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <numeric>

#include "grading/dies/plan/tie_own.hpp"

namespace lastwright {

namespace {

// Which of `count` things belong together.
class Joined {
 public:
  explicit Joined(std::size_t count) : leader_(count) {
    std::iota(leader_.begin(), leader_.end(), std::size_t{0});
  }
  std::size_t find(std::size_t k) const {
    while (leader_[k] != k) k = leader_[k];
    return k;
  }
  void join(std::size_t one, std::size_t other) { leader_[find(other)] = find(one); }

 private:
  std::vector<std::size_t> leader_;
};

// Leaves in each of these demands what they have in common. True where that takes something away.
bool made_alike(const std::vector<std::uint32_t>& demands, TieChoices& choices) {
  std::vector<std::uint32_t> common = choices[demands.front()];
  for (const std::uint32_t d : demands) {
    std::vector<std::uint32_t> both;
    std::set_intersection(common.begin(), common.end(), choices[d].begin(), choices[d].end(),
                          std::back_inserter(both));
    common = std::move(both);
  }
  bool changed = false;
  for (const std::uint32_t d : demands) {
    changed = changed || choices[d].size() != common.size();
    choices[d] = common;
  }
  return changed;
}

}  // namespace

TiePart::TiePart(const TieProblem& problem, std::vector<std::size_t> pieces, std::vector<std::uint32_t> only)
    : problem_(problem), pieces_(std::move(pieces)), demands_(std::move(only)) {
  if (demands_.empty()) {
    demands_.resize(problem.demands);
    std::iota(demands_.begin(), demands_.end(), std::uint32_t{0});
  }
  for (const TieSeam& seam : problem.seams) {
    if (std::find(pieces_.begin(), pieces_.end(), seam.one) != pieces_.end()) seams_.push_back(&seam);
  }
}

// Own outlines that miss the limit already are not to be made worse, and never struck out.
bool TiePart::match(const TieSeam& seam, std::size_t demand, std::uint32_t one, std::uint32_t other) const {
  return seam_mismatch(seam, one, other) <= seam_limit_of(problem_, seam, demand);
}

TieChoices TiePart::starting_choices(std::size_t p, const std::vector<bool>& safe) const {
  const TiePiece& piece = problem_.pieces[p];
  TieChoices choices(problem_.demands);
  for (std::uint32_t c = 0; c < piece.serves.size(); ++c) {
    for (const Serves& serves : piece.serves[c]) {
      const bool own = piece.own[serves.demand] == c;
      const bool barred = !piece.may_tie && c < piece.first_owned;
      if (own || (!barred && serves.ratio <= problem_.scale)) choices[serves.demand].push_back(c);
    }
  }
  for (const std::vector<std::uint32_t>& demands : piece.forced) made_alike(demands, choices);
  for (std::size_t d = 0; d < safe.size(); ++d) {
    if (safe[d]) choices[d] = {piece.safe.empty() ? piece.own[d] : piece.safe[d]};
  }
  return choices;
}

TieDomains TiePart::starting_domains(const std::vector<bool>& safe) const {
  TieDomains domains(problem_.pieces.size());
  for (const std::size_t p : pieces_) domains[p] = starting_choices(p, safe);
  for (const TieSeam* seam : seams_) {  // both edges on one piece: the choice matches itself or falls
    if (seam->one != seam->other) continue;
    for (std::size_t d = 0; d < problem_.demands; ++d) {
      std::erase_if(domains[seam->one][d], [&](std::uint32_t c) { return !match(*seam, d, c, c); });
    }
  }
  return domains;
}

// Removes choices of one side that no choice of the other matches.
std::optional<std::size_t> TiePart::strike_side(const TieSeam& seam, bool one_side, TieDomains& domains,
                                                bool& changed) const {
  const std::size_t p = one_side ? seam.one : seam.other;
  const std::size_t q = one_side ? seam.other : seam.one;
  const std::vector<double>& length_of = one_side ? seam.one_length : seam.other_length;
  const std::vector<double>& mate_length = one_side ? seam.other_length : seam.one_length;
  std::vector<std::pair<double, std::uint32_t>> mates;  // by length of the seam's edge
  for (const std::uint32_t d : demands_) {
    const std::vector<std::uint32_t>& others = domains[q][d];
    const double limit = seam_limit_of(problem_, seam, d);
    mates.clear();
    const std::size_t gone = std::erase_if(domains[p][d], [&](std::uint32_t c) {
      const auto fits = [&](std::uint32_t e) {
        return one_side ? seam_mismatch(seam, c, e) <= limit : seam_mismatch(seam, e, c) <= limit;
      };
      // Most are matched at their own place of the grade; one that is needs no search for the nearest.
      if (c < mate_length.size() && fits(c) && std::binary_search(others.begin(), others.end(), c))
        return false;
      if (mates.empty()) {
        for (const std::uint32_t e : others) mates.emplace_back(mate_length[e], e);
        std::sort(mates.begin(), mates.end());
      }
      const double wanted = one_side ? length_of[c] + seam.wanted : length_of[c] - seam.wanted;
      const auto above = std::lower_bound(mates.begin(), mates.end(), std::pair{wanted, std::uint32_t{0}});
      return !(above != mates.end() && fits(above->second)) &&
             !(above != mates.begin() && fits(std::prev(above)->second));
    });
    changed = changed || gone > 0;
    if (domains[p][d].empty()) return d;
  }
  return std::nullopt;
}

std::optional<std::size_t> TiePart::strike(TieDomains& domains) const {
  for (bool changed = true; changed;) {
    changed = false;
    for (const TieSeam* seam : seams_) {
      if (seam->one == seam->other) continue;
      for (const bool one_side : {true, false}) {
        if (const auto empty = strike_side(*seam, one_side, domains, changed)) return empty;
      }
    }
    for (const std::size_t p : pieces_) {
      for (const std::vector<std::uint32_t>& demands : problem_.pieces[p].forced) {
        if (!std::binary_search(demands_.begin(), demands_.end(), demands.front())) continue;
        if (made_alike(demands, domains[p])) changed = true;
        if (domains[p][demands.front()].empty()) return demands.front();
      }
    }
  }
  return std::nullopt;
}

void TiePart::keep_within(const TieDomains& within, TieDomains& domains) const {
  for (const std::size_t p : pieces_) {
    for (std::size_t d = 0; d < problem_.demands; ++d) {
      std::vector<std::uint32_t> both;
      std::set_intersection(domains[p][d].begin(), domains[p][d].end(), within[p][d].begin(),
                            within[p][d].end(), std::back_inserter(both));
      if (!both.empty()) domains[p][d] = std::move(both);
    }
  }
}

TieGroups TiePart::locked_groups(const TieDomains& domains) const {
  Joined joined(problem_.pieces.size());
  for (const TieSeam* seam : seams_) {
    if (seam->one != seam->other && locked(*seam, domains)) joined.join(seam->one, seam->other);
  }
  std::map<std::size_t, std::vector<std::size_t>> groups;
  for (const std::size_t p : pieces_) groups[joined.find(p)].push_back(p);
  TieGroups list;
  for (auto& [key, group] : groups) list.push_back(std::move(group));
  return list;
}

bool TiePart::locked(const TieSeam& seam, const TieDomains& domains) const {
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

TieChoices TiePart::shared_choices(const std::vector<std::size_t>& group, const TieDomains& domains) const {
  TieChoices shared = domains[group.front()];
  for (std::size_t d = 0; d < problem_.demands; ++d) {
    for (std::size_t k = 1; k < group.size(); ++k) {
      const std::vector<std::uint32_t>& other = domains[group[k]][d];
      std::erase_if(shared[d],
                    [&](std::uint32_t c) { return !std::binary_search(other.begin(), other.end(), c); });
    }
    for (const TieSeam* seam : seams_) {
      const auto in = [&](std::size_t p) { return std::find(group.begin(), group.end(), p) != group.end(); };
      if (group.size() < 2 || !in(seam->one) || !in(seam->other)) continue;
      std::erase_if(shared[d], [&](std::uint32_t c) { return !match(*seam, d, c, c); });
    }
  }
  if (group.size() > 1) {
    for (const std::vector<std::uint32_t>& demands : forced_together(group)) made_alike(demands, shared);
  }
  return shared;
}

std::vector<std::vector<std::uint32_t>> TiePart::forced_together(
    const std::vector<std::size_t>& group) const {
  if (std::all_of(group.begin(), group.end(),
                  [&](std::size_t p) { return problem_.pieces[p].forced.empty(); }))
    return {};
  Joined joined(problem_.demands);
  for (const std::size_t p : group) {
    for (const std::vector<std::uint32_t>& demands : problem_.pieces[p].forced) {
      for (const std::uint32_t d : demands) joined.join(demands.front(), d);
    }
  }
  std::map<std::size_t, std::vector<std::uint32_t>> sets;
  for (std::uint32_t d = 0; d < problem_.demands; ++d) sets[joined.find(d)].push_back(d);
  std::vector<std::vector<std::uint32_t>> list;
  for (auto& [key, demands] : sets) {
    if (demands.size() > 1) list.push_back(std::move(demands));
  }
  return list;
}

std::vector<std::uint32_t> TiePart::held_with(std::uint32_t demand) const {
  for (std::vector<std::uint32_t>& demands : forced_together(pieces_)) {
    if (std::binary_search(demands.begin(), demands.end(), demand)) return std::move(demands);
  }
  return {demand};
}

TieGroups parts_of(const TieProblem& problem) {
  Joined joined(problem.pieces.size());
  for (const TieSeam& seam : problem.seams) joined.join(seam.one, seam.other);
  std::map<std::size_t, std::vector<std::size_t>> parts;
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) parts[joined.find(p)].push_back(p);
  TieGroups list;
  for (auto& [key, part] : parts) list.push_back(std::move(part));
  return list;
}

}  // namespace lastwright
