// Of choices that cost the same one in which the fewest dies that are there are to be stamped anew.
//
// What costs no more is sought once more, each such die being two: as it is stamped, serving just what it
// bears, and stamped anew for whatever it serves. Each restamp then costs less than any part of a cost of all
// of them together, so that the search, its windows and its bound are those of all choices
// (grading/dies/plan/tie_solve).
#pragma once

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// Dies to stamp anew, left and right each one.
int restamps_of(const TiePiece& piece, const std::vector<std::uint32_t>& die_of);
int restamps_of(const TieProblem& problem, const TieSolution& solution);

// Of these pieces, joined by seams to no others, which are chosen: takes the fewest restamps it finds at no
// more cost and with no die outside (TiePiece::outside) that is not chosen already; then what
// `take_owned_outlines` does, without more restamps. Returns how many any choice of this cost has at least.
int take_owned(const TieProblem& problem, const std::vector<std::size_t>& part, TieSolution& solution);

}  // namespace lastwright
