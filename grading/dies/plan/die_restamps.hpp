// Which dies that are there a choice has stamped anew: what each bears, as the choice of dies weighs it.
#pragma once

#include "grading/dies/plan/die_candidates.hpp"
#include "grading/dies/plan/die_plan.hpp"

namespace lastwright {

// Of a candidate that is there, with hands as of hands_of(). Nothing to stamp anew of new dies, and of dies
// whose stamp is not known.
TieStamp stamp_of(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                  std::size_t c, const HandChoice& hands);

// Says in the plan's notes where no proof is that as few dies as can be are stamped anew.
void note_restamps(DiePlan& plan);

}  // namespace lastwright
