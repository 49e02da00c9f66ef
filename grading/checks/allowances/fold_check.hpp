// The angles at the fold of a piece that is cut double.
#pragma once

#include <optional>

#include "geometry/units.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright {

// Inside the drawn half, at both ends of its fold.
struct FoldAngles {
  Radians first;
  Radians last;
};

// `net`: of the drawn half; `fold`: the edge on the fold. None where nothing is left of that edge.
std::optional<FoldAngles> fold_angles(const EdgedOutline& net, std::size_t fold);

}  // namespace lastwright
