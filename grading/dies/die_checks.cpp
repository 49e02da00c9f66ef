#include "grading/dies/die_checks.hpp"

#include <cmath>
#include <numbers>

#include "geometry/tolerance.hpp"

namespace lastwright {

bool below_limit_of(double length, double limit) {
  return length < limit - tolerance::kArcFit.value();
}

bool is_special_punch(const CutOutFacts& cut_out, const DieLimits& limits) {
  return below_limit_of(cut_out.rule, limits.special_punch.value) ||
         below_limit_of(cut_out.width, limits.slot.value);
}

DieFacts without_special_punches(DieFacts facts, const DieLimits& limits) {
  // A place as wide as the widest circle, as in the middle of a lens or of a slot, is its width and no neck.
  constexpr double kAsWide = 0.98;
  for (CutOutFacts& cut_out : facts.cut_out_facts) {
    if (cut_out.bends.neck && cut_out.bends.neck->value > kAsWide * cut_out.width) cut_out.bends.neck.reset();
  }
  take_bends(facts, [&](const CutOutFacts& cut_out) { return !is_special_punch(cut_out, limits); });
  return facts;
}

std::vector<DieFinding> check_die(const DieFacts& all_facts, const DieLimits& limits) {
  const DieFacts facts = without_special_punches(all_facts, limits);
  std::vector<DieFinding> findings;
  const auto at_least = [&](const char* check, const MaybeLength& length, const DieLimit& limit) {
    if (length && below_limit_of(length->value, limit.value))
      findings.push_back({check, length->value, limit, "mm", length->at});
  };
  at_least("gap between rules", facts.rule_gap, limits.rule_gap);
  at_least("neck", facts.narrowest, limits.slot);
  for (const CutOutFacts& cut_out : facts.cut_out_facts)
    at_least("width of cut-out", PlacedLength{cut_out.width, cut_out.at}, limits.slot);
  at_least("bend radius outside", facts.smallest_radius_outside, limits.bend_radius);
  at_least("bend radius inside", facts.smallest_radius_inside, limits.bend_radius);
  at_least("punch diameter", facts.smallest_hole, limits.smallest_punch);
  at_least("hole to rule", facts.hole_to_edge, limits.hole_to_edge);
  at_least("hole to hole", facts.hole_to_hole, limits.hole_to_edge);
  at_least("shortest straight", facts.shortest_straight, limits.shortest_straight);
  for (const Corner& corner : facts.corners) {
    const double inside = to_degrees(corner.inside);
    const bool into_material = inside > 180.0;
    const double opening = into_material ? 360.0 - inside : inside;
    const DieLimit& limit = into_material ? limits.inside_corner : limits.outside_corner;
    if (opening < limit.value) {
      DieLimit stated = limit;
      if (into_material) stated.value = 360.0 - limit.value;
      findings.push_back({into_material ? "corner into the piece" : "corner of the piece", inside, stated,
                          "deg", corner.at});
    }
  }
  for (const Corner& kink : facts.breaks) {
    const double turn = std::abs(180.0 - to_degrees(kink.inside));
    if (turn > limits.tangent_break.value) {
      findings.push_back({"tangent break", turn, limits.tangent_break, "deg", kink.at});
    }
  }
  return findings;
}

}  // namespace lastwright
