#include "grading/dies/die_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "geometry/counted.hpp"
#include "geometry/parallel.hpp"
#include "grading/dies/die_candidates.hpp"
#include "grading/dies/die_forced.hpp"
#include "grading/dies/die_groups.hpp"
#include "grading/dies/die_numbers.hpp"
#include "grading/dies/die_seams.hpp"
#include "grading/dies/tie_own.hpp"

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

// Left and right that are there, or one of them, are no die with two edges; one that has them keeps them.
HandChoice hands_of(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
                    const HandChoice& hands) {
  const std::size_t places = input.places.places.size();
  if (c < places) return hands;
  const std::size_t owned = c - places;
  if (input.owned[owned].two_edged)
    return {HandMode::kTwoEdged,
            input.owned[owned].foot == OwnedFoot::kUnknown
                ? "the drawing of the die that is there says that it has two cutting edges"
                : "the die that is there has two cutting edges"};
  if (hands.mode != HandMode::kTwoEdged) return hands;
  if (!input.owned[owned].of_a_pair && !candidates.partner[owned]) return hands;
  return {HandMode::kPair, "the die that is there is one of a pair, left and right"};
}

// One die that served both feet has one edge: where left and right differ now it cuts the foot it is drawn
// for.
OwnedFoot foot_of(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t owned,
                  const HandChoice& hands) {
  return hands.mode == HandMode::kPair && input.owned[owned].single ? OwnedFoot::kDrawn
                                                                    : candidates.foot[owned];
}

// How many of a candidate's dies are there already.
int owned_dies(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
               const HandChoice& hands) {
  const std::size_t places = input.places.places.size();
  if (c < places) return 0;
  return foot_of(input, candidates, c - places, hands) == OwnedFoot::kBoth ? hands.dies() : 1;
}

// Of one die of this outline. Nicks that tell the size are left out: only a die for one size and width has
// them, and how many it serves is not chosen yet.
double price_at_least(const DiePlanInput& input, const DieShape& outline, const HandChoice& hands,
                      const std::string& piece) {
  const DieRules& rules = *input.rules;
  DieShape shape = outline;
  shape.size_marks.clear();
  const DieFacts facts = without_special_punches(measure_die(shape), rules.limits);
  const bool bridges = rules.rates.per_bridge.value_or(0.0) > 0.0;
  const DieWork work = bridges ? die_work(shape, facts, rules.limits, rules.bridge_every) : DieWork{};
  return price_of(facts, static_cast<int>(work.bridges.size()), rules, hands, piece);
}

// Priced nicks that tell the size cost more than the choice reckoned with.
void note_size_nicks(const DieRules& rules, DiePlan& plan) {
  if (rules.minimise != Minimise::kCost || rules.rates.per_nick.value_or(0.0) <= 0.0) return;
  const bool told = std::any_of(plan.dies.begin(), plan.dies.end(), [](const PlannedDie& die) {
    return die.to_make() > 0 && !die.shape.size_marks.empty();
  });
  if (!told) return;
  plan.proven = false;
  plan.notes.push_back(
      "the least price was sought without nicks that tell the size, which only a die for one size and width "
      "has; they are in the price, so that another choice may cost less, but none less than the bound");
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
      if (candidates[p].shapes[c]) {
        const HandChoice own = hands_of(input, candidates[p], c, hands[p]);
        cost = own.dies() - owned_dies(input, candidates[p], c, own);
        cost *= input.rules->quantity_of(spec.name).value_or(1);
        if (minimise == Minimise::kCost && cost > 0.0)
          cost *= price_at_least(input, *candidates[p].shapes[c], own, spec.name);
      }
      piece.cost.push_back(cost);
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

const Serves& serves_of(const PieceCandidates& candidates, std::size_t c, std::uint32_t demand) {
  for (const Serves& serves : candidates.serves[c]) {
    if (serves.demand == demand) return serves;
  }
  invariant(false, "a chosen die serves what it was chosen for");
  return candidates.serves[c].front();
}

PlannedDie planned_die(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                       std::size_t c, std::vector<std::uint32_t> serves, const HandChoice& hands) {
  PlannedDie die;
  const std::size_t places = input.places.places.size();
  die.piece = piece;
  die.candidate = c;
  if (c >= places) {
    die.owned = c - places;
    die.owned_other = candidates.partner[*die.owned];
    const std::optional<std::uint32_t> place = candidates.place[*die.owned];
    die.seams_estimated = !place;
    die.at = place ? input.places.places[*place] : input.places.demands[candidates.nearest[*die.owned]];
    die.between = place && input.places.between(*place);
    const OwnedFoot foot = foot_of(input, candidates, *die.owned, hands);
    const bool pair = hands.mode == HandMode::kPair;
    die.make_drawn = pair && foot == OwnedFoot::kMirrored;
    die.make_mirrored = pair && foot == OwnedFoot::kDrawn;
  } else {
    die.at = input.places.places[c];
    die.between = input.places.between(c);
    die.make_mirrored = hands.mode == HandMode::kPair;
  }
  die.worst_at = serves.front();
  die.shape = *candidates.shapes[c];
  const bool size_marked = die.owned && candidates.size_marked[*die.owned];
  // Nicks that tell the size are true of one size and width only; an owned die has those it has.
  const bool alone = serves.size() == 1 && (!die.owned || input.owned[*die.owned].served.size() < 2);
  if (die.owned || serves.size() > 1 || input.places.own[serves.front()] != c) die.shape.size_marks.clear();
  die.size_untold = alone && !size_marked && die.shape.size_marks.empty() &&
                    !candidates.shapes[input.places.own[serves.front()]]->size_marks.empty();
  const PieceTolerances tolerances = input.rules->tolerances_of(input.style->pieces[piece]);
  for (const std::uint32_t demand : serves) {
    if (input.places.own[demand] == c) continue;  // its own outline
    const DieShape& own = *candidates.shapes[input.places.own[demand]];
    const DieShape wanted = size_marked ? with_size_marks(own) : own;
    const ServeTable table({&wanted}, tolerances, {});
    const RigidFit fit = table.measured(die.shape, 0, serves_of(candidates, c, demand).placement);
    die.worst_deviation = std::max(die.worst_deviation, greatest_deviation(fit, wanted, die.shape));
    if (fit.ratio > die.worst_ratio) {
      die.worst_ratio = fit.ratio;
      die.worst_at = demand;
    }
  }
  die.serves = std::move(serves);
  die.facts = without_special_punches(measure_die(die.shape), input.rules->limits);
  die.findings = check_die(die.facts, input.rules->limits);
  die.work = die_work(die.shape, die.facts, input.rules->limits, input.rules->bridge_every);
  die.lay = candidates.fold_lay[c].value_or(Radians(0.0));
  const Radians turn = candidates.fold_lay[c] ? die.lay : smallest_box_turn(die.shape.cut.path);
  const Box2 box = bounds(placed(die.shape.cut.path, turn, {}));
  die.box_length = std::max(box.width(), box.height());
  die.box_width = std::min(box.width(), box.height());
  die.hands = hands;
  die.quantity = input.rules->quantity_of(input.style->pieces[piece].name).value_or(1);
  return die;
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
  return missed.empty() ? "not within the tolerance of this order" : missed;
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
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t p = 0; p < candidates.size(); ++p) {
      const std::optional<OwnedMiss>& miss = candidates[p].miss[k];
      if (candidates[p].shapes[places + k]) {
        const SizeWidth& at = input.places.demands[candidates[p].nearest[k]];
        one.why = fmt::format("it fits the {} {} {}, but {}", input.style->pieces[p].name, at.size.label,
                              at.width.label, why_left(problem, p, places + k));
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
  for (TiePiece& piece : problem.pieces) piece.outside.clear();  // how many dies, not which
  for (const double tolerance : rules.curve) {
    problem.scale = tolerance / rules.tolerance;
    if (!ties.empty()) {
      for (TiePiece& piece : problem.pieces) {
        piece.forced.clear();
        piece.safe.clear();
      }
      force_ties(problem, ties);
    }
    const TieSolution solution = solve_ties(problem);
    curve.push_back({tolerance, static_cast<int>(std::lround(solution.cost)),
                     static_cast<int>(std::ceil(solution.bound - 1e-6)), solution.proven});
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
    hands.push_back(choose_hands(spec, *candidates[p].shapes[input.places.own.front()], candidates[p].mirror,
                                 two_edged, rules.two_edged_nicks));
    plan.serve_count += candidates[p].count;
  }
  Result<TieProblem> problem = tie_problem(input, candidates, hands, rules.minimise);
  if (!problem) return problem.problem();
  const Result<std::vector<ForcedTie>> ties = forced_ties(input);
  if (!ties) return ties.problem();
  plan.forced = kept_ties(input, *problem, *ties, force_ties(*problem, *ties));
  const TieSolution solution = solve_ties(*problem);
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
  plan.seams_over = solution.seams_over;
  plan.seams = served_seams(input, solution);
  for (const ServedSeam& seam : plan.seams) {
    if (seam.limit > seam_limit(input)) ++plan.seams_eased;
    if (!seam.tied && seam.limit <= seam_limit(input))
      plan.worst_seam = std::max(plan.worst_seam, seam.worst);
  }
  note_size_nicks(rules, plan);
  note_open(input, solution, plan);
  plan.unused = unused_dies(input, candidates, *problem, plan);
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
      plan.notes.push_back(input.style->pieces[p].name + ": " + hands[p].why);
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
