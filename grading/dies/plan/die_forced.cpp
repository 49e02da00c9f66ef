#include "grading/dies/plan/die_forced.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "grading/dies/order/die_order.hpp"
#include "grading/dies/order/die_stamps.hpp"
#include "grading/dies/plan/die_candidates.hpp"
#include "grading/sizes/step_named.hpp"

namespace lastwright {

namespace {

Problem bad_tie(const DiePlanInput& input, const ForcedTieRule& rule, std::string what) {
  return Problem{Trouble::kBadValue, std::move(what), {}, {}, {}}
      .in("forced tie", rule.name)
      .in_file(input.rules->file);
}

// Labels of the sizes that share a die with each other, and of the widths. Without any given each is by
// itself.
using Stretches = std::vector<std::vector<std::string>>;

Result<Stretches> stretches_of_sizes(const DiePlanInput& input, const ForcedTieRule& rule) {
  const std::vector<Size> sizes = input.places.whole_sizes();
  Stretches stretches;
  for (const auto& [from, to] : rule.sizes) {
    const auto first = step_named(sizes, from);
    const auto last = step_named(sizes, to);
    if (first == sizes.end() || last == sizes.end() || last < first)
      return bad_tie(input, rule,
                     fmt::format("the sizes {} to {} are no stretch of the run, which goes from {} to {}",
                                 from, to, sizes.front().label, sizes.back().label));
    stretches.emplace_back();
    for (auto one = first; one <= last; ++one) stretches.back().push_back(one->label);
  }
  if (rule.sizes.empty()) {
    for (const Size& size : sizes) stretches.push_back({size.label});
  }
  return stretches;
}

Result<Stretches> lists_of_widths(const DiePlanInput& input, const ForcedTieRule& rule) {
  const std::vector<Width> widths = input.places.whole_widths();
  Stretches lists;
  for (const std::vector<std::string>& list : rule.widths) {
    lists.emplace_back();
    for (const std::string& label : list) {
      const auto width = step_named(widths, label);
      if (width == widths.end()) return bad_tie(input, rule, "the run has no width " + label);
      lists.back().push_back(width->label);
    }
  }
  if (rule.widths.empty()) {
    for (const Width& width : widths) lists.push_back({width.label});
  }
  return lists;
}

std::size_t piece_called(const StyleSpec& style, const std::string& name) {
  std::size_t p = 0;
  while (style.pieces[p].name != name) ++p;  // the reader of rules has seen to it
  return p;
}

std::string seam_words(const DiePlanInput& input, const TieProblem& problem, const ForcedMiss& miss) {
  const TieSeam& seam = problem.seams[miss.seam];
  const std::size_t mate = seam.one == miss.piece ? seam.other : seam.one;
  return fmt::format(
      "the seam {} of the {} with the {} would miss by {:.2f} mm in {} at best, where {:g} mm may be: tie "
      "the "
      "{} too, or ease the seam by \"seam_limits\"",
      seam.name, input.style->pieces[miss.piece].name, input.style->pieces[mate].name,
      std::ceil(100.0 * miss.value) / 100.0, label_of(input.places.demands[miss.demand]), seam.limit,
      input.style->pieces[mate].name);
}

// How many times the tolerances a new die takes that serves the whole set: the plan tries no more than its
// curve asks for. Infinite where none would at any.
double tolerances_needed(const DiePlanInput& input, std::size_t piece,
                         const std::vector<std::uint32_t>& set) {
  constexpr double kAny = 1e9;  // times the tolerances
  const DiePlaces& places = input.places;
  const PieceSpec& spec = input.style->pieces[piece];
  ServeOptions options;
  options.up_to = kAny;
  options.reference_edge = reference_edge_of(*input.rules, spec);
  std::vector<DieShape> shapes;
  for (const std::uint32_t d : set) {
    Result<DieOutline> outline = input.outline(piece, places.own[d]);
    if (!outline) return std::numeric_limits<double>::infinity();
    shapes.push_back(std::move(outline->shape));
  }
  std::vector<const DieShape*> demands;
  for (const DieShape& shape : shapes) demands.push_back(&shape);
  const ServeTable table(demands, input.rules->tolerances_of(spec), options);
  const auto among = [&](const SizeWidth& at) {
    const auto spans = [&](const auto& of) {
      double low = 1e300;
      double high = -1e300;
      for (const std::uint32_t d : set) {
        low = std::min(low, of(places.demands[d]));
        high = std::max(high, of(places.demands[d]));
      }
      return of(at) >= low - 1e-9 && of(at) <= high + 1e-9;
    };
    return spans([](const SizeWidth& one) { return one.size.position.value(); }) &&
           spans([](const SizeWidth& one) { return one.width.position.value(); });
  };
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t place = 0; place < places.places.size(); ++place) {
    const bool own = std::find(places.own.begin(), places.own.end(), place) != places.own.end();
    if (!among(places.places[place]) || (!own && (!input.rules->between || places.known_only(place))))
      continue;
    const Result<DieOutline> outline = input.outline(piece, place);
    if (!outline) continue;
    ServeCount count;
    const std::vector<Serves> serves = table.served_by(outline->shape, std::nullopt, count);
    if (serves.size() < set.size()) continue;
    double worst = 0.0;
    for (const Serves& one : serves) worst = std::max(worst, one.ratio);
    least = std::min(least, worst);
  }
  return least;
}

std::string tolerance_why(const DiePlanInput& input, const ForcedMiss& miss,
                          const std::vector<std::uint32_t>& set) {
  const std::string& piece = input.style->pieces[miss.piece].name;
  const double needed = std::min(miss.value, tolerances_needed(input, miss.piece, set));
  if (!std::isfinite(needed))
    return fmt::format(
        "no die of the {} serves them all, whatever the tolerance: they have not the same holes, cut-outs "
        "and nicks",
        piece);
  return fmt::format(
      "no die of the {} serves them all within tolerance; one would at {:.2f} times the tolerances ({:.2f} "
      "mm "
      "for {:g} mm)",
      piece, std::ceil(100.0 * needed) / 100.0, std::ceil(100.0 * needed * input.rules->tolerance) / 100.0,
      input.rules->tolerance);
}

std::string why_words(const DiePlanInput& input, const TieProblem& problem, const ForcedMiss& miss,
                      const std::vector<std::uint32_t>& set) {
  const std::string& piece = input.style->pieces[miss.piece].name;
  switch (miss.trouble) {
    case ForcedTrouble::kNotTied:
      return fmt::format("dies of the {} are not to be tied", piece);
    case ForcedTrouble::kTooling:
      return fmt::format("they lie in two tooling groups of the {}", piece);
    case ForcedTrouble::kTolerance:
      return tolerance_why(input, miss, set);
    case ForcedTrouble::kSeam:
      return seam_words(input, problem, miss);
    case ForcedTrouble::kTogether:
      return "the seams of its pieces together, or forced ties listed before it, leave no dies that match";
    case ForcedTrouble::kNotFound:
      return "no dies were found that match; nothing proves that there are none";
  }
  return "";
}

}  // namespace

Result<std::vector<ForcedTie>> forced_ties(const DiePlanInput& input) {
  std::vector<ForcedTie> ties;
  std::set<std::pair<std::size_t, std::uint32_t>> taken;  // piece, demand
  for (const ForcedTieRule& rule : input.rules->forced_ties) {
    ForcedTie tie;
    for (const std::string& name : rule.pieces) tie.pieces.push_back(piece_called(*input.style, name));
    const Result<Stretches> sizes = stretches_of_sizes(input, rule);
    if (!sizes) return sizes.problem();
    const Result<Stretches> widths = lists_of_widths(input, rule);
    if (!widths) return widths.problem();
    for (const std::vector<std::string>& stretch : *sizes) {
      for (const std::vector<std::string>& list : *widths) {
        std::vector<std::uint32_t> set;
        for (std::uint32_t d = 0; d < input.places.demands.size(); ++d) {
          const SizeWidth& at = input.places.demands[d];
          if (std::find(stretch.begin(), stretch.end(), at.size.label) != stretch.end() &&
              std::find(list.begin(), list.end(), at.width.label) != list.end())
            set.push_back(d);
        }
        if (set.size() < 2) continue;  // the run may not make the others, or they are not in this order
        for (const std::size_t p : tie.pieces) {
          for (const std::uint32_t d : set) {
            if (!taken.emplace(p, d).second)
              return bad_tie(input, rule,
                             fmt::format("{} of the {} is in two forced ties, or twice in this one",
                                         label_of(input.places.demands[d]), input.style->pieces[p].name));
          }
        }
        tie.sets.push_back(std::move(set));
      }
    }
    if (tie.sets.empty() && !of_a_part(input.places))
      return bad_tie(input, rule, "no two sizes or widths of the run are in it");
    ties.push_back(std::move(tie));
  }
  return ties;
}

std::vector<KeptTie> kept_ties(const DiePlanInput& input, const TieProblem& problem,
                               const std::vector<ForcedTie>& ties, const std::vector<ForcedMiss>& misses) {
  std::vector<KeptTie> told;
  for (std::size_t t = 0; t < ties.size(); ++t) {
    const ForcedTieRule& rule = input.rules->forced_ties[t];
    KeptTie tie{rule.name, rule.pieces, ties[t].sets.size(), 0, {}};
    for (const ForcedMiss& miss : misses) {
      if (miss.tie == t)
        tie.missed.push_back({served_text(ties[t].sets[miss.set], input.places),
                              why_words(input, problem, miss, ties[t].sets[miss.set])});
    }
    tie.kept = tie.sets - tie.missed.size();
    told.push_back(std::move(tie));
  }
  return told;
}

}  // namespace lastwright
