// Dies that are chosen only where they save some: TiePiece::outside.
#pragma once

#include <optional>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// The same problem without what lies outside, but for what forced ties fall back on; none where nothing does.
std::optional<TieProblem> without_outside(const TieProblem& problem);

// The same problem with each die outside dearer by so little that all of them together cost less than the
// cheapest die.
TieProblem with_outside_dearer(const TieProblem& problem);

// Whether anything of these pieces could be served from outside, and how many of the dies chosen lie there.
bool any_outside(const TieProblem& problem, const std::vector<std::size_t>& pieces);
std::size_t dies_outside(const TieProblem& problem, const TieSolution& solution,
                         const std::vector<std::size_t>& pieces);

// Of one piece's dies.
double cost_of(const TiePiece& piece, const std::vector<std::uint32_t>& dies);

}  // namespace lastwright
