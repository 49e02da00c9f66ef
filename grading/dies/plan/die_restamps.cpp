#include "grading/dies/plan/die_restamps.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/order/die_stamps.hpp"
#include "grading/dies/plan/planned_die.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

TieStamp stamp_of(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                  std::size_t c, const HandChoice& hands) {
  const std::size_t places = input.places.places.size();
  TieStamp stamp;
  if (c < places) return stamp;
  const std::size_t k = c - places;
  const PieceSpec& spec = input.style->pieces[piece];
  const OwnedFoot foot = owned_foot(input, candidates, k, hands);
  const bool pair = hands.mode == HandMode::kPair;
  const bool whole = !pair || foot == OwnedFoot::kBoth;
  stamp.bears = borne_demands(input.owned[k].served, input.places);
  PlannedDie planned;
  planned.owned = k;
  planned.hands = hands;
  const std::string number = whole ? std::string() : pair_number(planned, input.owned, {}).number;
  const std::string drawn_foot = drawn_foot_of(*input.style, spec);
  const auto add = [&](std::size_t there, bool mirror) {
    const OwnedDie& one = input.owned[there];
    const std::string& bears = mirror != candidates.turned[there] ? one.stamp_mirrored : one.stamp;
    if (bears.empty()) return;
    ++stamp.changed;
    SizesWidths serves;
    for (const std::uint32_t d : stamp.bears)
      serves.emplace_back(input.places.demands[d].size.label, input.places.demands[d].width.label);
    const std::string hand = !pair                  ? "L R"
                             : one_foot(drawn_foot) ? foot_words(drawn_foot, mirror)
                             : mirror               ? "M"
                                                    : "";
    const std::string anew = stamp_words(
        input.style->name, spec.name, stamped_text(borne_now(one.served, serves, input.places), input.places),
        hand, whole ? one.number : number);
    stamp.kept += anew == bears ? 0 : 1;
  };
  if (!pair || foot != OwnedFoot::kMirrored) add(k, false);
  if (pair && foot != OwnedFoot::kDrawn) add(candidates.partner[k].value_or(k), true);
  return stamp;
}

void note_restamps(DiePlan& plan) {
  if (plan.restamps <= plan.restamps_at_least) return;
  plan.notes.push_back(fmt::format(
      "not proven to be the fewest: {} there already and to be stamped anew, in any choice of this cost at "
      "least {}",
      counted(static_cast<std::size_t>(plan.restamps), "die that is", "dies that are"),
      plan.restamps_at_least));
}

}  // namespace lastwright
