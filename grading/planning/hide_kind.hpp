// A piece as it is laid on a hide.
#pragma once

#include <vector>

#include "geometry/check/convex_region.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// One piece of one size and hand, made ready.
struct HideKind {
  std::size_t piece = 0;
  std::size_t cell = 0;
  bool mirrored = false;
  ClosedArcPath outline;  // with its grain along x, mirrored where it is, its middle at the origin
  double lay = 0.0;
  Vec2 middle;
  double net = 0.0;
  double length = 0.0;
  std::vector<Polygon> parts;
  bool grain = false;
};

// `other`: for the other foot than is drawn. `gap`: between two cuts, half of it round the piece.
Result<HideKind> hide_kind(const StyleGrade& grade, std::size_t piece, std::size_t cell, bool other,
                           double gap);

}  // namespace lastwright
