// Dies that are there and serve nothing of an order, each with the reason.
#pragma once

#include <vector>

#include "grading/dies/plan/die_candidates.hpp"
#include "grading/dies/plan/die_plan.hpp"

namespace lastwright {

// In the order of the owned dies. `problem`: as it was solved; `plan`: with its dies.
std::vector<UnusedDie> unused_dies(const DiePlanInput& input, const std::vector<PieceCandidates>& candidates,
                                   const TieProblem& problem, const DiePlan& plan);

// Which of them are of pieces that the style does not have under their name, and fit others by their shape.
std::vector<std::string> renamed_notes(const DiePlanInput& input,
                                       const std::vector<PieceCandidates>& candidates);

}  // namespace lastwright
