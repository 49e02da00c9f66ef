// What a die costs by the rates of the rules.
#pragma once

#include <string>

#include "grading/dies/die_hands.hpp"
#include "grading/dies/die_rules.hpp"
#include "grading/dies/order/die_making.hpp"

namespace lastwright {

// Of one die of this piece, both hands of a pair not counted; in hundredths, as it is charged.
double price_of(const DieFacts& facts, int bridges, const DieRules& rules, const HandChoice& hands,
                const std::string& piece = {});
// Closed lines of rule: each is closed by a joint. Special punches have none.
int joints_of(const DieFacts& facts, const DieLimits& limits);
// What of it is for special punches; 0 where the rates state no price for one.
double special_punch_price(const DieWork& work, const DieRules& rules, const HandChoice& hands);

}  // namespace lastwright
