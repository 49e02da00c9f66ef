// Tooling groups of the rules, as an order for the whole run or for a part of it has them.
#pragma once

#include <cstdint>
#include <vector>

#include "grading/dies/plan/plan_input.hpp"

namespace lastwright {

// By demand the number of its group, 0 of those in none; empty where the piece has no groups. Groups are of
// the style's whole run: of a part they hold what is in it. Refuses labels that the style's run does not
// have, and what is in two groups.
Result<std::vector<std::uint32_t>> tooling_of(const DiePlanInput& input, const PieceSpec& spec);

}  // namespace lastwright
