// A die of a plan, of a candidate that was chosen: which foot's are there, what it serves and what is drawn
// of it.
#pragma once

#include <cstdint>
#include <vector>

#include "grading/dies/plan/die_candidates.hpp"
#include "grading/dies/plan/die_plan.hpp"

namespace lastwright {

// How a candidate serves left and right, where its piece as a whole is cut so: one that is there is what it
// is.
HandChoice hands_of(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
                    const HandChoice& hands);

// Which foot an owned die cuts where its piece is cut so.
OwnedFoot owned_foot(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t owned,
                     const HandChoice& hands);

// How many of a candidate's dies are there already: 0, 1 or both.
int owned_dies(const DiePlanInput& input, const PieceCandidates& candidates, std::size_t c,
               const HandChoice& hands);

// Of these demands, ascending, each of which the candidate serves; hands as of hands_of().
PlannedDie planned_die(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                       std::size_t c, std::vector<std::uint32_t> serves, const HandChoice& hands);

}  // namespace lastwright
