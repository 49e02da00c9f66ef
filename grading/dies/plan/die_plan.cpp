#include "grading/dies/plan/die_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "geometry/counted.hpp"
#include "geometry/parallel.hpp"
#include "grading/dies/die_price.hpp"
#include "grading/dies/order/size_told.hpp"
#include "grading/dies/owned/die_unused.hpp"
#include "grading/dies/plan/die_candidates.hpp"
#include "grading/dies/plan/die_forced.hpp"
#include "grading/dies/plan/die_groups.hpp"
#include "grading/dies/plan/die_restamps.hpp"
#include "grading/dies/plan/die_seams.hpp"
#include "grading/dies/plan/planned_die.hpp"
#include "grading/dies/plan/tie_apart.hpp"
#include "grading/dies/plan/tie_settle.hpp"

namespace lastwright {

namespace {

Result<std::vector<PieceCandidates>> all_candidates(const DiePlanInput& input, double up_to) {
  const std::size_t pieces = input.style->pieces.size();
  std::vector<std::optional<Result<PieceCandidates>>> found(pieces);
  const Status done = run_jobs(pieces, input.threads, [&](std::size_t p) -> Status {
    found[p] = find_candidates(input, p, up_to);
    return Done{};
  });
  invariant(done.ok(), "what is found is a value of its own");
  std::vector<PieceCandidates> result;
  for (std::optional<Result<PieceCandidates>>& one : found) {
    if (!*one) return one->problem();
    result.push_back(std::move(*one).value());
  }
  return result;
}

std::optional<std::pair<std::size_t, std::size_t>> edge_of(const StyleSpec& style, const SeamSide& side) {
  for (std::size_t p = 0; p < style.pieces.size(); ++p) {
    if (style.pieces[p].name != side.piece) continue;
    for (std::size_t e = 0; e < style.pieces[p].edges.size(); ++e) {
      if (style.pieces[p].edges[e].name == side.edge) return std::pair{p, e};
    }
  }
  return std::nullopt;
}

std::vector<double> lengths_of(const PieceCandidates& candidates, std::size_t edge) {
  std::vector<double> lengths;
  for (const std::vector<double>& of : candidates.edge_lengths)
    lengths.push_back(of.empty() ? 0.0 : of[edge]);
  return lengths;
}

// Of one die of this outline. Nicks that tell size or width are left out: a die has them where they are true
// of all that it serves, and what that is is not chosen yet.
double price_at_least(const DiePlanInput& input, const DieShape& outline, std::optional<Radians> fold_lay,
                      const HandChoice& hands, const std::string& piece) {
  const DieRules& rules = *input.rules;
  DieShape shape = outline;
  shape.size_marks.clear();
  const DieFacts facts = without_special_punches(measure_die(shape), rules.limits);
  const bool bridges = rules.rates.per_bridge.value_or(0.0) > 0.0;
  const DieWork work =
      bridges ? die_work(shape, facts, rules.limits, rules.bridge_every, fold_lay) : DieWork{};
  return price_of(facts, static_cast<int>(work.bridges.size()), rules, hands, piece);
}

// Priced nicks that tell size or width cost more than the choice reckoned with.
void note_size_nicks(const DieRules& rules, DiePlan& plan) {
  if (rules.minimise != Minimise::kCost || rules.rates.per_nick.value_or(0.0) <= 0.0) return;
  NickTells told;
  for (const PlannedDie& die : plan.dies) {
    if (die.to_make() > 0) told |= told_by(die.shape.size_marks);
  }
  if (!told.any()) return;
  plan.proven = false;
  plan.notes.push_back(fmt::format(
      "the least price was sought without nicks that tell {}, which a die has only where they are true "
      "of all that it serves; they are in the price, so that another choice may cost less, but none less "
      "than the bound",
      told.words()));
}

// A candidate that is there is one die, or left and right that were found by themselves.
std::vector<std::size_t> dies_there(const PieceCandidates& candidates, std::size_t owned) {
  std::vector<std::size_t> dies{owned};
  if (candidates.partner[owned]) dies.push_back(*candidates.partner[owned]);
  return dies;
}

// Forces the ties that can be kept with the choices that the problem has now.
std::vector<ForcedMiss> force_anew(TieProblem& problem, const std::vector<ForcedTie>& ties) {
  for (TiePiece& piece : problem.pieces) {
    piece.forced.clear();
    piece.safe.clear();
  }
  return force_ties(problem, ties);
}

Result<TieProblem> tie_problem(const DiePlanInput& input, const std::vector<PieceCandidates>& candidates,
                               const std::vector<HandChoice>& hands, Minimise minimise) {
  TieProblem problem;
  problem.demands = input.places.demands.size();
  const std::size_t places = input.places.places.size();
  for (std::size_t p = 0; p < candidates.size(); ++p) {
    const PieceSpec& spec = input.style->pieces[p];
    TiePiece piece;
    piece.name = spec.name;
    piece.may_tie = input.rules->rules_of(spec.name).ties.value_or(input.rules->ties);
    piece.own = input.places.own;
    piece.serves = candidates[p].serves;
    piece.first_owned = places;
    for (std::size_t c = 0; c < piece.serves.size(); ++c) {
      double cost = 0.0;
      double spared = 0.0;
      if (candidates[p].shapes[c]) {
        const HandChoice own = hands_of(input, candidates[p], c, hands[p]);
        spared = owned_dies(input, candidates[p], c, own);
        cost = own.dies() - spared;
        double each = input.rules->quantity_of(spec.name).value_or(1);
        if (minimise == Minimise::kCost && (cost > 0.0 || spared > 0.0))
          each *= price_at_least(input, *candidates[p].shapes[c], candidates[p].fold_lay[c], own, spec.name);
        cost *= each;
        spared *= each;
      }
      if (!input.owned.empty())
        piece.stamps.push_back(candidates[p].shapes[c] ? stamp_of(input, p, candidates[p], c,
                                                                  hands_of(input, candidates[p], c, hands[p]))
                                                       : TieStamp{});
      piece.cost.push_back(cost);
      piece.spared.push_back(spared);
      piece.there.emplace_back();
      if (c >= places) piece.there[c] = dies_there(candidates[p], c - places);
      piece.outside.push_back(c < places && input.places.outside(c) != nullptr);
    }
    Result<std::vector<std::uint32_t>> tooling = tooling_of(input, spec);
    if (!tooling) return tooling.problem();
    piece.group = std::move(*tooling);
    problem.pieces.push_back(std::move(piece));
  }
  for (const SeamSpec& seam : input.style->seams) {
    const auto one = edge_of(*input.style, seam.one);
    const auto other = edge_of(*input.style, seam.other);
    if (!one || !other) {
      return Problem{Trouble::kBadValue, "the seam joins an edge that is in no piece", {}, {}, {}}.in(
          "seam", seam.name);
    }
    TieSeam tie;
    tie.name = seam.name;
    tie.one = one->first;
    tie.other = other->first;
    tie.one_length = lengths_of(candidates[tie.one], one->second);
    tie.other_length = lengths_of(candidates[tie.other], other->second);
    tie.wanted = input.base_edges[tie.other][other->second] - input.base_edges[tie.one][one->second];
    tie.limit = seam_limit(input, seam);
    problem.seams.push_back(std::move(tie));
  }
  return problem;
}

void add_dies(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
              const TiePiece& tie_piece, const PieceTies& ties, const HandChoice& hands, DiePlan& plan) {
  std::map<std::pair<std::size_t, std::uint32_t>, std::vector<std::uint32_t>> served;
  for (std::uint32_t d = 0; d < ties.die_of.size(); ++d) {
    served[{ties.die_of[d], tie_piece.group.empty() ? 0 : tie_piece.group[d]}].push_back(d);
  }
  PieceSummary summary;
  summary.name = input.style->pieces[piece].name;
  summary.outlines_without = static_cast<int>(ties.die_of.size());
  summary.outlines = static_cast<int>(served.size());
  summary.dies_without =
      summary.outlines_without * hands.dies() * input.rules->quantity_of(summary.name).value_or(1);
  for (auto& [key, demands] : served) {
    const HandChoice own = hands_of(input, candidates, key.first, hands);
    plan.dies.push_back(planned_die(input, piece, candidates, key.first, std::move(demands), own));
    summary.dies += plan.dies.back().dies();
    summary.worst_deviation = std::max(summary.worst_deviation, plan.dies.back().worst_deviation);
    plan.dies_to_make += plan.dies.back().to_make();
  }
  plan.dies_without += summary.dies_without;
  plan.dies_needed += summary.dies;
  plan.pieces.push_back(std::move(summary));
}

void note_unmade(const DiePlanInput& input, const std::vector<PieceCandidates>& candidates, DiePlan& plan) {
  for (std::size_t p = 0; p < candidates.size(); ++p) {
    const std::vector<std::uint32_t>& unmade = candidates[p].unmade;
    if (unmade.empty()) continue;
    plan.untried.push_back(fmt::format(
        "{}: no die is tried at {} of the style's run outside the sizes and widths of this order, as no "
        "outline can be made there ({}{})",
        input.style->pieces[p].name, counted(unmade.size(), "place", "places"),
        input.places.label(unmade.front()), unmade.size() > 1 ? " the first" : ""));
  }
}

// Forced ties are kept where a tolerance lets them be.
std::vector<CurvePoint> curve_of(TieProblem problem, const DieRules& rules,
                                 const std::vector<ForcedTie>& ties) {
  std::vector<CurvePoint> curve;
  for (TiePiece& piece : problem.pieces) {  // how many dies, not which
    piece.outside.clear();
    piece.stamps.clear();
  }
  for (const double tolerance : rules.curve) {
    problem.scale = tolerance / rules.tolerance;
    TieProblem here = problem;
    const auto force = [&](TieProblem& of) {
      if (!ties.empty()) force_anew(of, ties);
    };
    force(here);
    const TieSolution solution = solve_apart(here, force);
    curve.push_back({tolerance, static_cast<int>(std::lround(solution.cost)),
                     static_cast<int>(std::ceil(solution.bound - 1e-6)), solution.proven,
                     scaled_along(rules, problem.scale)});
  }
  return curve;
}

}  // namespace

Result<DiePlan> plan_dies(const DiePlanInput& input) {
  const DieRules& rules = *input.rules;
  double up_to = 1.0;
  for (const double tolerance : rules.curve) up_to = std::max(up_to, tolerance / rules.tolerance);
  Result<std::vector<PieceCandidates>> found = all_candidates(input, up_to);
  if (!found) return found.problem();
  const std::vector<PieceCandidates>& candidates = *found;
  DiePlan plan;
  std::vector<HandChoice> hands;
  for (std::size_t p = 0; p < candidates.size(); ++p) {
    const PieceSpec& spec = input.style->pieces[p];
    const bool two_edged = rules.rules_of(spec.name).two_edged.value_or(rules.two_edged);
    std::vector<const DieShape*> outlines;
    for (const std::uint32_t own : input.places.own) outlines.push_back(&*candidates[p].shapes[own]);
    hands.push_back(
        choose_hands(spec, most_marked(outlines), candidates[p].mirror, two_edged, rules.two_edged_nicks));
    plan.serve_count += candidates[p].count;
  }
  Result<TieProblem> problem = tie_problem(input, candidates, hands, rules.minimise);
  if (!problem) return problem.problem();
  const Result<std::vector<ForcedTie>> ties = forced_ties(input);
  if (!ties) return ties.problem();
  std::vector<ForcedMiss> missed = force_ties(*problem, *ties);
  TieSolution solution = solve_apart(*problem, [&](TieProblem& of) { missed = force_anew(of, *ties); });
  settle_dies(*problem, solution,
              [&](std::size_t p, std::uint32_t c, const std::vector<std::uint32_t>& served) {
                return bears_size_marks(input, p, candidates[p], c, served);
              });
  prove_whole(rules.minimise, solution);
  plan.forced = kept_ties(input, *problem, *ties, missed);
  for (std::size_t p = 0; p < candidates.size(); ++p) {
    add_dies(input, p, candidates[p], problem->pieces[p], solution.pieces[p], hands[p], plan);
    // Known only where dies are counted; owned ones cost nothing and would say nothing here.
    plan.pieces.back().alone =
        rules.minimise == Minimise::kCount && input.owned.empty()
            ? static_cast<int>(
                  std::lround(solution.pieces[p].alone /
                              (hands[p].dies() * rules.quantity_of(plan.pieces.back().name).value_or(1))))
            : plan.pieces.back().outlines;
  }
  plan.cost = solution.cost;
  plan.bound = solution.bound;
  plan.proven = solution.proven;
  plan.restamps = solution.restamps;
  plan.restamps_at_least = solution.restamps_at_least;
  plan.seams_over = solution.seams_over;
  plan.seams = served_seams(input, solution);
  for (const ServedSeam& seam : plan.seams) {
    if (seam.limit > seam_limit(input)) ++plan.seams_eased;
    if (!seam.tied && seam.limit <= seam_limit(input))
      plan.worst_seam = std::max(plan.worst_seam, seam.worst);
  }
  note_size_nicks(rules, plan);
  note_open(input, solution, plan);
  note_restamps(plan);
  plan.unused = unused_dies(input, candidates, *problem, plan);
  for (std::string& note : renamed_notes(input, candidates)) plan.notes.push_back(std::move(note));
  plan.minimised = rules.minimise;
  plan.held = held_pieces(input, *problem, plan.pieces);
  plan.seam_limit = seam_limit(input);
  if (!rules.curve.empty()) {
    Result<TieProblem> counted = tie_problem(input, candidates, hands, Minimise::kCount);
    if (!counted) return counted.problem();
    plan.curve = curve_of(std::move(*counted), rules, *ties);
  }
  for (std::size_t p = 0; p < candidates.size(); ++p) {
    if (input.style->pieces[p].hand == Hand::kSymmetric && hands[p].mode != HandMode::kSymmetric) {
      plan.notes.push_back(input.style->pieces[p].name + ": " +
                           (hands[p].by_marks && hands[p].mode == HandMode::kPair
                                ? hands[p].ahead + "nicks or pricks stand on one side: no two-edged die"
                                : hands[p].why));
    }
  }
  for (const KeptTie& tie : plan.forced) {
    if (tie.sets == 0) {
      plan.notes.push_back("forced tie " + tie.name +
                           ": no two of its sizes and widths are in this order, so that it ties none here");
      continue;
    }
    plan.notes.push_back(fmt::format("forced tie {}: kept in {} of {}, by one die of each of {}", tie.name,
                                     tie.kept,
                                     counted(tie.sets, "set of sizes and widths", "sets of sizes and widths"),
                                     fmt::join(tie.pieces, ", ")));
  }
  note_unmade(input, candidates, plan);
  plan.notes.push_back(tolerance_words(rules));
  note_seams(plan);
  return plan;
}

}  // namespace lastwright
