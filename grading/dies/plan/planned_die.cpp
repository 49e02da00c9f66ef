#include "grading/dies/plan/planned_die.hpp"

#include <algorithm>

#include "grading/dies/die_checks.hpp"
#include "grading/dies/order/size_told.hpp"
#include "grading/dies/plan/tie_serve.hpp"

namespace lastwright {

namespace {

const Serves& serves_of(const PieceCandidates& candidates, std::size_t c, std::uint32_t demand) {
  for (const Serves& serves : candidates.serves[c]) {
    if (serves.demand == demand) return serves;
  }
  invariant(false, "a chosen die serves what it was chosen for");
  return candidates.serves[c].front();
}

}  // namespace

// One die that served both feet has one edge: where left and right differ now it cuts the foot that its own
// drawing shows.
OwnedFoot owned_foot(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t owned,
                     const HandChoice& hands) {
  if (hands.mode != HandMode::kPair || !input.owned[owned].single) return candidates.foot[owned];
  return candidates.turned[owned] ? OwnedFoot::kMirrored : OwnedFoot::kDrawn;
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

int owned_dies(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
               const HandChoice& hands) {
  const std::size_t places = input.places.places.size();
  if (c < places) return 0;
  return owned_foot(input, candidates, c - places, hands) == OwnedFoot::kBoth ? hands.dies() : 1;
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
    die.turned = candidates.turned[*die.owned];
    die.other_turned = candidates.turned[die.owned_other.value_or(*die.owned)];
    die.stamped_apart = candidates.stamped_apart[*die.owned];
    die.other_stamped_apart = candidates.stamped_apart[die.owned_other.value_or(*die.owned)];
    const std::optional<std::uint32_t> place = candidates.place[*die.owned];
    die.seams_estimated = !place;
    die.at = place ? input.places.places[*place] : input.places.demands[candidates.nearest[*die.owned]];
    die.between = place && input.places.between(*place);
    const OwnedFoot foot = owned_foot(input, candidates, *die.owned, hands);
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
  // An owned die has those nicks that tell size or width that it has.
  const bool told = bears_size_marks(input, piece, candidates, c, serves);
  if (!told) die.shape.size_marks.clear();
  const bool could = die.owned ? serves.size() == 1 && input.owned[*die.owned].served.size() < 2
                               : told_alike(input, piece, serves);
  if (could && !size_marked && !told)
    die.untold = told_by(candidates.shapes[input.places.own[serves.front()]]->size_marks);
  const PieceTolerances tolerances = input.rules->tolerances_of(input.style->pieces[piece]);
  for (const std::uint32_t demand : serves) {
    if (input.places.own[demand] == c) continue;  // its own outline
    const DieShape& own = *candidates.shapes[input.places.own[demand]];
    const DieShape wanted = size_marked || told ? with_size_marks(own) : own;
    const DieShape shape = with_size_marks(die.shape);
    const ServeTable table({&wanted}, tolerances, {});
    const RigidFit fit = table.measured(shape, 0, serves_of(candidates, c, demand).placement);
    die.worst_deviation = std::max(die.worst_deviation, greatest_deviation(fit, wanted, shape));
    if (fit.ratio > die.worst_ratio) {
      die.worst_ratio = fit.ratio;
      die.worst_at = demand;
    }
  }
  die.serves = std::move(serves);
  die.facts = without_special_punches(measure_die(die.shape), input.rules->limits);
  die.findings = check_die(die.facts, input.rules->limits);
  die.work =
      die_work(die.shape, die.facts, input.rules->limits, input.rules->bridge_every, candidates.fold_lay[c]);
  die.lay = candidates.fold_lay[c].value_or(Radians(0.0));
  const Radians turn = candidates.fold_lay[c] ? die.lay : smallest_box_turn(die.shape.cut.path);
  const Box2 box = bounds(placed(die.shape.cut.path, turn, {}));
  die.box_length = std::max(box.width(), box.height());
  die.box_width = std::min(box.width(), box.height());
  die.hands = hands_of_die(hands, die.shape, input.rules->two_edged_nicks);
  die.quantity = input.rules->quantity_of(input.style->pieces[piece].name).value_or(1);
  return die;
}

}  // namespace lastwright
