// How a drawing may lie on an outline: the turns that bring one outline onto another, as places to start
// from.
//
// A shape that is (nearly) its own image after a turn lies on its outline in several ways, and only one of
// them brings holes, cut-outs and nicks where they belong. Which one is not decided here.
#pragma once

#include <vector>

#include "grading/dies/die.hpp"

namespace lastwright {

// Turns of the die about the middle of its area after which its hull lies on that of the wanted shape about
// within `within` (what a whole degree may do to it is allowed besides), the nearest first. Of an outline
// that any turn suits, as a round one, those that bring a hole, cut-out or mark of the die to one of the
// wanted shape. Never none.
std::vector<Radians> starting_turns(const DieShape& die, const DieShape& wanted, double within);

// The die turned so, the middle of its area on that of the wanted outline.
DieShape started(const DieShape& die, const DieShape& wanted, Radians turn);

}  // namespace lastwright
