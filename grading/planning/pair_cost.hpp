// What one more pair of each size and width costs.
#pragma once

#include <vector>

#include "grading/planning/consumption.hpp"

namespace lastwright {

// Of `more`, what is bought for a pair by the prices of its materials, and the parts that a pair takes by
// theirs. What has no price, or cannot be told by the pair, is named. Empty where the works has no price.
std::vector<PairCost> pair_costs(const std::vector<PairNeed>& more, const WorksSpec& works);

}  // namespace lastwright
