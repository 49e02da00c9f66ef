// Seams as the chosen dies serve them: their limits, what is beyond them, and which of them keep the number
// of dies up.
#pragma once

#include <vector>

#include "grading/dies/plan/die_plan.hpp"

namespace lastwright {

// mm. Of all seams; of one, by its own limit, or as a lap where one of its edges is one.
double seam_limit(const DiePlanInput& input);
double seam_limit(const DiePlanInput& input, const SeamSpec& seam);

std::vector<ServedSeam> served_seams(const DiePlanInput& input, const TieSolution& solution);

// Each seam left out by itself: what it costs. Where a piece needs no more outlines than it would alone, no
// seam holds it.
std::vector<PieceHeld> held_pieces(const DiePlanInput& input, const TieProblem& problem,
                                   const std::vector<PieceSummary>& pieces);

// Whether PieceSummary::alone was reckoned: where dies are counted, and none is there already.
bool alone_known(const DiePlan& plan);

// Seams of pieces on which whole sizes are tied, which `worst_seam` leaves out: those that differ at all, the
// worst first.
std::vector<ServedSeam> tied_seams(const DiePlan& plan);
// "vamp to quarter 2.217 mm at 12 F" of each; empty: none.
std::vector<std::string> tied_seam_words(const DiePlan& plan);

// Says in the plan's notes how many seams are beyond their limit before any die is shared.
void note_seams(DiePlan& plan);

// Dies and prices come whole: where less than a die, or a hundredth of money, lies between what was chosen
// and the bound, it is proven least.
void prove_whole(Minimise minimise, TieSolution& solution);

// Which dies are not proven least, so that somebody who counts on the proof knows of which it speaks.
void note_open(const DiePlanInput& input, const TieSolution& solution, DiePlan& plan);

}  // namespace lastwright
