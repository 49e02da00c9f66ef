// Forced ties: what the rules say in labels as demands of the plan, and in words what cannot be kept.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/plan/die_plan.hpp"
#include "grading/dies/plan/tie_forced.hpp"

namespace lastwright {

Result<std::vector<ForcedTie>> forced_ties(const DiePlanInput& input);

std::vector<KeptTie> kept_ties(const DiePlanInput& input, const TieProblem& problem,
                               const std::vector<ForcedTie>& ties, const std::vector<ForcedMiss>& misses);

}  // namespace lastwright
