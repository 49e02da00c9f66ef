// What a rate of the rules is for: rule of one height.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// kg of a metre of this line's rule, of dies to make: the piece's own figure, or that of all, where the rule
// is as high as the figure is for. None: not known.
std::optional<double> weight_per_metre_of(const DieRules& rules, const DieMaking& making,
                                          const DieOrderLine& line);

// Dies to make whose weight is not known for their height, and those whose rule is priced at the rate of
// another height.
std::vector<std::string> rate_notes(const DieOrder& order, const DieRules& rules);

}  // namespace lastwright
