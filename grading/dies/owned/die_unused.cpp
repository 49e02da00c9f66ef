#include "grading/dies/owned/die_unused.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <string>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"
#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/plan/tie_own.hpp"

namespace lastwright {

namespace {

// Whether it serves anything within the tolerance.
bool serves_any(const TieProblem& problem, std::size_t piece, std::size_t c) {
  const std::vector<Serves>& serves = problem.pieces[piece].serves[c];
  return std::any_of(serves.begin(), serves.end(),
                     [&](const Serves& one) { return one.ratio <= problem.scale; });
}

// Of a die that fits: whether any die of the mate matches it in a size and width that it serves, seam by
// seam.
std::string why_left(const TieProblem& problem, std::size_t piece, std::size_t c) {
  const TiePiece& own = problem.pieces[piece];
  std::string missed;  // by the first of its sizes and widths
  for (const Serves& serves : own.serves[c]) {
    if (serves.ratio > problem.scale) continue;
    std::string seam_here;
    for (const TieSeam& seam : problem.seams) {
      if (seam.one != piece && seam.other != piece) continue;
      const bool one_side = seam.one == piece;
      const std::size_t mate = one_side ? seam.other : seam.one;
      double least = std::numeric_limits<double>::infinity();
      const std::vector<std::vector<Serves>>& mates = problem.pieces[mate].serves;
      for (std::uint32_t e = 0; e < mates.size(); ++e) {
        const bool there =
            mate == piece ? e == c : std::any_of(mates[e].begin(), mates[e].end(), [&](const Serves& s) {
              return s.demand == serves.demand && s.ratio <= problem.scale;
            });
        if (!there) continue;
        const auto die = static_cast<std::uint32_t>(c);
        least = std::min(least, one_side ? seam_mismatch(seam, die, e) : seam_mismatch(seam, e, die));
      }
      const double limit = seam_limit_of(problem, seam, serves.demand);
      if (least <= limit) continue;
      seam_here = fmt::format("no die of the {} matches it in seam {}: {:.3f} mm at least (limit {:g})",
                              problem.pieces[mate].name, seam.name, least, limit);
      break;
    }
    if (seam_here.empty()) return "the dies chosen serve that at no more cost";
    if (missed.empty()) missed = seam_here;
  }
  return missed;
}

// "toe stiffening 8 F", or several of them.
std::string pieces_alike(const DiePlanInput& input, const std::vector<PieceCandidates>& candidates,
                         std::size_t k) {
  std::vector<std::string> names;
  for (std::size_t p = 0; p < candidates.size(); ++p) {
    if (!candidates[p].alike[k].empty())
      names.push_back(input.style->pieces[p].name + " " + candidates[p].alike[k]);
  }
  return some_of(names, 3, " or the ");
}

}  // namespace

// Dies of pieces that the style has no more under their name, by the piece that they are by shape.
std::vector<std::string> renamed_notes(const DiePlanInput& input,
                                       const std::vector<PieceCandidates>& candidates) {
  std::map<std::pair<std::string, std::string>, std::size_t> dies;  // name then, piece now
  for (std::size_t k = 0; k < input.owned.size(); ++k) {
    for (std::size_t p = 0; p < candidates.size(); ++p) {
      if (!candidates[p].alike[k].empty()) ++dies[{input.owned[k].piece, input.style->pieces[p].name}];
    }
  }
  if (dies.empty()) return {};
  DieNames names;
  for (const auto& [what, count] : dies)
    names.add(fmt::format("{} of \"{}\" fit the {}", counted(count, "die"), what.first, what.second));
  return {
      "dies that are there already are not used, as the style has no piece of their name, and fit pieces of "
      "another: if a piece has only been renamed, give it the name of its dies again, or give their drawings "
      "by themselves, else what is there is ordered anew (" +
      names.text(kUnusedDiesFile, "; ") + ")"};
}

std::vector<UnusedDie> unused_dies(const DiePlanInput& input, const std::vector<PieceCandidates>& candidates,
                                   const TieProblem& problem, const DiePlan& plan) {
  const std::size_t places = input.places.places.size();
  std::vector<bool> used(input.owned.size(), false);
  for (const PlannedDie& die : plan.dies) {
    if (die.owned) used[*die.owned] = true;
    if (die.owned_other) used[*die.owned_other] = true;
  }
  std::vector<UnusedDie> unused;
  for (std::size_t k = 0; k < input.owned.size(); ++k) {
    if (used[k]) continue;
    UnusedDie one{k, "the style has no piece of its name"};
    if (const std::string pieces = pieces_alike(input, candidates, k); !pieces.empty())
      one.why = fmt::format(
          "the style has no piece \"{}\"; by its outline and work it is the {}: where that is the piece by "
          "another name, give the drawing of each such die by itself, and it is used",
          input.owned[k].piece, pieces);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t p = 0; p < candidates.size(); ++p) {
      const std::optional<OwnedMiss>& miss = candidates[p].miss[k];
      if (candidates[p].shapes[places + k]) {
        const SizeWidth& at = input.places.demands[candidates[p].nearest[k]];
        const std::string piece =
            fmt::format("{} {} {}", input.style->pieces[p].name, at.size.label, at.width.label);
        const bool within = serves_any(problem, p, places + k);
        one.why = within ? fmt::format("it fits the {}, but {}", piece, why_left(problem, p, places + k))
                         : "nearest is the " + piece + ", but not within the tolerance of this order";
        break;
      }
      if (!miss || miss->off >= least) continue;
      least = miss->off;
      one.why = miss->why;
    }
    for (std::size_t other = 0; other < used.size(); ++other) {
      const OwnedDie& there = input.owned[other];
      if (used[other] && same_kind(there, input.owned[k]))
        one.why = "one of its number is used: it counts towards the quantity";
    }
    // Of a die of another size all is said; one half way may fit and not be known again.
    const bool known = std::any_of(candidates.begin(), candidates.end(),
                                   [&](const PieceCandidates& of) { return of.place[k].has_value(); });
    if (!known && input.owned[k].drawn_as.starts_with("between "))
      one.why += drawn_elsewhere(input.owned[k], input.places);
    unused.push_back(std::move(one));
  }
  return unused;
}

}  // namespace lastwright
