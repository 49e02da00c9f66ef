// A die that is there is one thing with one stamp: it is used for one piece, however many it fits, and in one
// tooling group of that piece.
#pragma once

#include <functional>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// As solve_ties, with no die that is there (TiePiece::there) in two pieces or in two tooling groups of one.
// What one that fits several is not used for is struck from the problem. Each is left to the piece in which
// it spares most and to the group of it of which it serves most, which need not be the best choice: the bound
// is that of all choices, as if each use of such a die beyond its first were paid for. `anew`: called when
// choices were struck, to force ties again.
TieSolution solve_apart(TieProblem& problem, const std::function<void(TieProblem&)>& anew = {});

}  // namespace lastwright
