// How far one outline runs out beyond another.
#pragma once

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

struct Overhang {
  double by = 0.0;  // mm, 0 where it lies inside all over
  Vec2 at;          // on the inner outline
};

// The farthest that `inner` runs out beyond `outer`, by its nodes, middles and quarters.
Overhang overhang(const ClosedArcPath& inner, const ClosedArcPath& outer);

double longest_side(const ClosedArcPath& path);  // mm, of its box

}  // namespace lastwright
