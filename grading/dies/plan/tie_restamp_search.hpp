// Every choice of dies that costs no more than one that is there, one by one, for fewer restamps.
#pragma once

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// Of these pieces, joined by seams to no others, which are chosen: takes a choice with fewer dies to stamp
// anew, at no more cost, each die that is there in one tooling group of its piece and no die outside
// (TiePiece::outside) that is not chosen already. True where all such choices are looked at within `work`,
// steps from one die to the next: then none has fewer.
bool search_restamps(const TieProblem& problem, const std::vector<std::size_t>& part, TieSolution& chosen,
                     std::size_t work = 3'000'000);

}  // namespace lastwright
