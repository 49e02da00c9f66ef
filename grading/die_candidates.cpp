#include "grading/die_candidates.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

namespace lastwright {

namespace {

void add(ServeCount& total, const ServeCount& more) {
  total.pairs += more.pairs;
  total.barred += more.barred;
  total.fitted += more.fitted;
  total.worst_gap = std::max(total.worst_gap, more.worst_gap);
}

// The owned die's segments with the edges of the demand it lies nearest to; empty when it is near none.
struct Labelled {
  DieShape shape;
  std::uint32_t nearest = 0;
};
std::optional<Labelled> labelled(const DieShape& owned, const std::vector<const DieShape*>& demands,
                                 const std::vector<RigidInvariants>& invariants, double farthest) {
  const RigidInvariants own = rigid_invariants(owned.cut.path);
  std::vector<std::uint32_t> order(demands.size());
  std::iota(order.begin(), order.end(), 0u);
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) {
    return least_deviation(own, invariants[a]) < least_deviation(own, invariants[b]);
  });
  const std::vector<double> one{1.0};
  const MeasuredOutline still(owned.cut.path);
  double best = farthest;
  std::optional<Labelled> result;
  for (const std::uint32_t demand : order) {
    if (least_deviation(own, invariants[demand]) > best) break;
    const MeasuredOutline moving(demands[demand]->cut.path);
    const OutlinePair pair{&moving, &still, one};
    RigidFitOptions options;
    options.precision = Millimetres(1e-3);
    options.give_up_above = best;
    const RigidFit fit = fit_rigidly({&pair, 1}, {}, options);
    if (fit.given_up || fit.ratio > best) continue;
    best = fit.ratio;
    result = Labelled{owned, demand};
    const MeasuredOutline laid = MeasuredOutline(demands[demand]->cut.path, demands[demand]->cut.edge)
                                     .placed(fit.placement.turn, fit.placement.shift);
    result->shape.cut.edge.clear();
    for (std::size_t i = 0; i < owned.cut.path.size(); ++i) {
      const Vec2 middle = owned.cut.path.segment(i).point_at(0.5);
      result->shape.cut.edge.push_back(laid.arcs()[laid.nearest(middle).arc].label);
    }
    // Cut-outs and marks are compared in order: an owned die keeps the order it was drawn in, which is the
    // order it was ordered in.
  }
  return result;
}

}  // namespace

std::vector<double> edge_lengths(const EdgedOutline& outline, std::size_t edges) {
  std::vector<double> lengths(edges, 0.0);
  for (std::size_t i = 0; i < outline.path.size(); ++i) {
    if (outline.edge[i] < edges) lengths[outline.edge[i]] += outline.path.segment(i).length();
  }
  return lengths;
}

Result<PieceCandidates> find_candidates(const DiePlanInput& input, std::size_t piece, double up_to) {
  const PieceSpec& spec = input.style->pieces[piece];
  const PieceRules& rules = input.rules->rules_of(spec.name);
  const bool may_tie = rules.ties.value_or(input.rules->ties);
  const std::size_t places = input.places.places.size();
  const std::size_t edges = std::max<std::size_t>(1, spec.edges.size());
  PieceCandidates result;
  result.shapes.resize(places + input.owned.size());
  result.serves.resize(places + input.owned.size());
  result.edge_lengths.resize(places + input.owned.size());
  result.nearest.resize(input.owned.size());

  std::vector<const DieShape*> demands;
  const auto make = [&](std::size_t place) -> Status {
    Result<DieOutline> outline = input.outline(piece, place);
    if (!outline) return outline.problem();
    result.shapes[place] = std::move(outline->shape);
    result.edge_lengths[place] = std::move(outline->edge_lengths);
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
  if (rules.reference_edge) {
    for (std::size_t e = 0; e < spec.edges.size(); ++e) {
      if (spec.edges[e].name == *rules.reference_edge) options.reference_edge = e;
    }
    if (!options.reference_edge || !ends_of_edge(demands.front()->cut, *options.reference_edge)) {
      return Problem{Trouble::kBadValue,
                     "the reference edge '" + *rules.reference_edge + "' is not one stretch of the outline",
                     {},
                     {},
                     {}}
          .in("piece", spec.name);
    }
  }
  PieceTolerances tolerances = input.rules->tolerances_of(spec);
  const double greatest = *std::max_element(tolerances.edges.begin(), tolerances.edges.end());
  const ServeTable table(demands, std::move(tolerances), options);
  std::vector<std::optional<std::uint32_t>> own_of(places);
  for (std::uint32_t d = 0; d < demands.size(); ++d) own_of[input.places.own[d]] = d;

  for (std::size_t place = 0; place < places; ++place) {
    if (!may_tie) {
      if (own_of[place]) result.serves[place] = {{*own_of[place], 0.0, 0.0, {}}};
      continue;
    }
    if (!own_of[place]) {
      if (const Status made = make(place); !made) return made.problem();
    }
    ServeCount count;
    result.serves[place] = table.served_by(*result.shapes[place], own_of[place], count);
    add(result.count, count);
    if (!own_of[place] && result.serves[place].size() < 2) {  // never better than that size's own outline
      result.serves[place].clear();
      result.shapes[place].reset();
      result.edge_lengths[place].clear();
    }
  }

  std::vector<RigidInvariants> invariants;
  if (!input.owned.empty()) {
    for (const DieShape* shape : demands) invariants.push_back(rigid_invariants(shape->cut.path));
  }
  for (std::size_t k = 0; k < input.owned.size(); ++k) {
    const OwnedDie& owned = input.owned[k];
    if (!owned.piece.empty() && owned.piece != spec.name) continue;
    const std::optional<Labelled> found = labelled(owned.shape, demands, invariants, up_to * greatest);
    if (!found) continue;
    ServeCount count;
    std::vector<Serves> serves = table.served_by(found->shape, std::nullopt, count);
    add(result.count, count);
    if (serves.empty()) continue;
    result.nearest[k] = found->nearest;
    // The owned die's net line is not known: its edges are longer than the nearest size's by as much as they
    // are cut.
    const std::uint32_t place = input.places.own[found->nearest];
    const std::vector<double> cut = edge_lengths(found->shape.cut, edges);
    const std::vector<double> nearest_cut = edge_lengths(demands[found->nearest]->cut, edges);
    std::vector<double> lengths = result.edge_lengths[place];
    for (std::size_t e = 0; e < edges; ++e) lengths[e] += cut[e] - nearest_cut[e];
    result.edge_lengths[places + k] = std::move(lengths);
    result.serves[places + k] = std::move(serves);
    result.shapes[places + k] = found->shape;
  }
  return result;
}

}  // namespace lastwright
