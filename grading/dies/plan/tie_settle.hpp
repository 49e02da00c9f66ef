// Where the dies of a choice are drawn, and which of them serves what: as near to what they serve as can be.
//
// How many dies, at what cost, and how many stamped anew are settled before; none of these gets worse here.
//   1. Each size and width goes to that of the chosen dies which fits it best.
//   2. Each die to be made is drawn at that place of the grade where the greatest share of a tolerance it
//      uses up in all that it serves is least.
// Dies of mates that a seam holds to each other change together, where the greatest share of all of them gets
// less, or as great and their sum less. Both are repeated until nothing changes. Other sets of as many dies
// are not looked at.
#pragma once

#include <functional>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// Whether a die of this candidate, serving these demands, has nicks that tell size or width: none that has
// them is changed to one that has not. Empty: none has.
using TellsSize = std::function<bool(std::size_t piece, std::uint32_t candidate,
                                     const std::vector<std::uint32_t>& demands)>;

void settle_dies(const TieProblem& problem, TieSolution& solution, const TellsSize& tells = {});

}  // namespace lastwright
