// The last touch to a choice of dies: a die that serves one size and width only is that one's own outline,
// and one that is there already serves the size and width whose outline it is.
#pragma once

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// How far the mates are from matching when served by these candidates, mm.
double seam_mismatch(const TieSeam& seam, std::uint32_t one, std::uint32_t other);
// What they may be: the seam's limit; more where the own outlines miss it already.
double seam_limit_of(const TieProblem& problem, const TieSeam& seam, std::size_t demand);

// Puts the own outline in the place of every new die that serves one demand alone, where the seams at that
// demand still hold and nothing becomes dearer. Pieces that only match each other at one place of the grade
// change together. The number of dies stays what it was, so a proof stays one.
void take_own_outlines(const TieProblem& problem, TieSolution& solution);

// Of these pieces: puts the die that is there and is a demand's own outline in the place of any other die,
// new or there already, that serves it, where the seams at that demand still hold. Nothing becomes dearer,
// for such a die costs nothing; what no demand is left to is not needed any more. `as_stamped`: only where no
// more dies that are there are then to be stamped anew.
void take_owned_outlines(const TieProblem& problem, const std::vector<std::size_t>& part,
                         TieSolution& solution, bool as_stamped = false);
// Fills in the dies and the cost of a piece by what serves its demands.
void count_anew(const TiePiece& piece, PieceTies& ties);
// Fills in how the seams match as the chosen dies serve.
void measure_seams(const TieProblem& problem, TieSolution& solution);

}  // namespace lastwright
