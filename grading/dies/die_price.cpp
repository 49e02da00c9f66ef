#include "grading/dies/die_price.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

int joints_of(const DieFacts& facts, const DieLimits& limits) {
  return 1 + static_cast<int>(std::count_if(
                 facts.cut_out_facts.begin(), facts.cut_out_facts.end(),
                 [&](const CutOutFacts& cut_out) { return !is_special_punch(cut_out, limits); }));
}

double price_of(const DieFacts& facts, int bridges, const DieRules& rules, const HandChoice& hands,
                const std::string& piece) {
  const DieRates& rates = rules.rates;
  double rule = facts.rule_outer;
  int special = 0;
  for (const CutOutFacts& cut_out : facts.cut_out_facts) {
    const bool punch = is_special_punch(cut_out, rules.limits);
    special += punch ? 1 : 0;
    rule += punch ? 0.0 : cut_out.rule;
  }
  const double plain = rates.fixed + rules.per_mm_of(piece) * rule +
                       rates.per_corner * static_cast<double>(facts.corners.size()) +
                       rates.per_punch * facts.punches + rates.per_special_punch.value_or(0.0) * special +
                       rates.per_nick.value_or(0.0) * facts.nicks + rates.per_bridge.value_or(0.0) * bridges +
                       rates.per_joint.value_or(0.0) * joints_of(facts, rules.limits);
  return std::round(100.0 * (hands.mode == HandMode::kTwoEdged ? plain * rates.two_edged : plain)) / 100.0;
}

double special_punch_price(const DieWork& work, const DieRules& rules, const HandChoice& hands) {
  int count = 0;
  for (const SpecialPunchGroup& group : work.special_punches) count += group.count;
  const double plain = rules.rates.per_special_punch.value_or(0.0) * count;
  return hands.mode == HandMode::kTwoEdged ? plain * rules.rates.two_edged : plain;
}

}  // namespace lastwright
