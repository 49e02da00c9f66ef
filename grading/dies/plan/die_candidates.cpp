#include "grading/dies/plan/die_candidates.hpp"

#include <algorithm>

#include "grading/dies/die_hands.hpp"
#include "grading/dies/owned/die_owned.hpp"
#include "grading/style/made_as.hpp"

namespace lastwright {

std::vector<double> edge_lengths(const EdgedOutline& outline, std::size_t edges) {
  std::vector<double> lengths(edges, 0.0);
  for (std::size_t i = 0; i < outline.path.size(); ++i) {
    if (outline.edge[i] < edges) lengths[outline.edge[i]] += outline.path.segment(i).length();
  }
  return lengths;
}

std::optional<std::size_t> reference_edge_of(const DieRules& rules, const PieceSpec& piece) {
  const std::optional<std::string>& name = rules.rules_of(piece.name).reference_edge;
  if (!name) return std::nullopt;
  const auto edge = std::find_if(piece.edges.begin(), piece.edges.end(),
                                 [&](const EdgeSpec& one) { return one.name == *name; });
  if (edge == piece.edges.end()) return std::nullopt;
  return static_cast<std::size_t>(edge - piece.edges.begin());
}

namespace {

// What the dies of the order are chosen by is told exactly;
// beyond it only which points of the curve count it.
std::vector<double> steps_of(const DieRules& rules) {
  std::vector<double> steps{1.0};
  for (const double tolerance : rules.curve) {
    if (tolerance > rules.tolerance) steps.push_back(tolerance / rules.tolerance);
  }
  std::sort(steps.begin(), steps.end());
  return steps;
}

// Sizes whose cut-outs are held as one shape are cut with punches of that shape: no die drawn for another
// serves them, as one between two ranges, whose punches no size has.
void keep_to_punches(const DiePlanInput& input, const PieceSpec& spec, std::size_t place,
                     std::vector<Serves>& serves) {
  if (spec.cut_outs_held.empty()) return;
  const auto held_as = [&](const SizeWidth& at) {
    const std::optional<SizeWidth> as = cut_outs_made_as(spec, input.places.refined, at);
    return as ? std::optional<Fraction>(as->size.position) : std::nullopt;
  };
  const std::optional<Fraction> punches = held_as(input.places.places[place]);
  std::erase_if(serves,
                [&](const Serves& one) { return held_as(input.places.demands[one.demand]) != punches; });
}

}  // namespace

Result<PieceCandidates> find_candidates(const DiePlanInput& input, std::size_t piece, double up_to) {
  const PieceSpec& spec = input.style->pieces[piece];
  const PieceRules& rules = input.rules->rules_of(spec.name);
  const bool may_tie = rules.ties.value_or(input.rules->ties);
  const std::size_t places = input.places.places.size();
  PieceCandidates result;
  result.shapes.resize(places + input.owned.size());
  result.serves.resize(places + input.owned.size());
  result.edge_lengths.resize(places + input.owned.size());
  result.fold_lay.resize(places + input.owned.size());
  result.nearest.resize(input.owned.size());
  result.place.resize(input.owned.size());
  result.foot.resize(input.owned.size(), OwnedFoot::kBoth);
  result.turned.resize(input.owned.size(), false);
  result.size_marked.resize(input.owned.size(), false);
  result.stamped_apart.resize(input.owned.size(), false);
  result.partner.resize(input.owned.size());
  result.miss.resize(input.owned.size());
  result.alike.resize(input.owned.size());

  std::vector<const DieShape*> demands;
  const auto make = [&](std::size_t place) -> Status {
    Result<DieOutline> outline = input.outline(piece, place);
    if (!outline) return outline.problem();
    result.shapes[place] = std::move(outline->shape);
    result.edge_lengths[place] = std::move(outline->edge_lengths);
    result.fold_lay[place] = outline->fold_lay;
    return Done{};
  };
  for (const std::uint32_t place : input.places.own) {
    if (const Status made = make(place); !made) return made.problem();
  }
  for (const std::uint32_t place : input.places.own) demands.push_back(&*result.shapes[place]);
  for (const std::size_t end : {std::size_t{0}, demands.size() - 1}) {
    result.mirror = std::max(result.mirror, mirror_deviation(*demands[end]));
  }

  ServeOptions options;
  options.up_to = up_to;
  options.steps = steps_of(*input.rules);
  options.reference_edge = reference_edge_of(*input.rules, spec);
  if (rules.reference_edge) {
    if (!options.reference_edge || !ends_of_edge(demands.front()->cut, *options.reference_edge)) {
      return Problem{Trouble::kBadValue,
                     "the reference edge '" + *rules.reference_edge + "' is not one stretch of the outline",
                     {},
                     {},
                     {}}
          .in("piece", spec.name)
          .in_file(input.rules->file);
    }
  }
  PieceTolerances tolerances = input.rules->tolerances_of(spec);
  const ServeTable table(demands, tolerances, options);
  std::vector<std::optional<std::uint32_t>> own_of(places);
  for (std::uint32_t d = 0; d < demands.size(); ++d) own_of[input.places.own[d]] = d;

  for (std::size_t place = 0; place < places; ++place) {
    if (!may_tie) {
      if (own_of[place]) result.serves[place] = {{*own_of[place], 0.0, 0.0, {}}};
      continue;
    }
    if (!own_of[place]) {
      const Status made = make(place);
      if (!made && input.places.outside(place) == nullptr) return made.problem();
      if (!made) {  // no die is drawn there, and none is known again
        if (!input.places.known_only(place)) result.unmade.push_back(static_cast<std::uint32_t>(place));
        continue;
      }
    }
    ServeCount count;
    result.serves[place] = table.served_by(*result.shapes[place], own_of[place], count);
    result.count += count;
    keep_to_punches(input, spec, place, result.serves[place]);
    // One that serves a single size may still be what a mate's shared die matches.
    if (!own_of[place] && result.serves[place].empty()) {
      result.serves[place].clear();
      result.shapes[place].reset();
      result.edge_lengths[place].clear();
    }
  }

  if (const Status added = add_owned({&input, piece, demands, std::move(tolerances), options}, result);
      !added)
    return added.problem();
  for (std::size_t k = 0; k < input.owned.size(); ++k) {
    if (result.place[k]) keep_to_punches(input, spec, *result.place[k], result.serves[places + k]);
  }
  for (std::size_t place = 0; place < places; ++place) {
    if (own_of[place] || (input.rules->between && !input.places.known_only(place)))
      continue;  // graded to know dies that are there, not to draw any
    result.serves[place].clear();
    result.shapes[place].reset();
    result.edge_lengths[place].clear();
  }
  return result;
}

}  // namespace lastwright
