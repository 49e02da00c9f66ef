// The rigid motion that brings points nearest to others: least squares, by formula.
#pragma once

#include <span>
#include <vector>

#include "geometry/io/paper/plane_affine.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

struct PointOnPoint {
  Vec2 moving;
  Vec2 still;
};

struct PointFit {
  PlaneAffine motion;  // of the moving points; proper, or with `mirrored` one that turns over
  double worst = 0.0;  // mm, the farthest that a moved point misses its partner
  // mm: root of the mean square distance of the moving points from their middle. The smaller it is, the less
  // is known of the turn; 0: nothing.
  double spread = 0.0;
};

// Exact where the points fit exactly, but for rounding. Precondition: at least one pair.
PointFit fit_points(std::span<const PointOnPoint> pairs, bool mirrored);

}  // namespace lastwright
