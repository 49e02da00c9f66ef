// The largest circle that lies inside an outline: what passes through a cut-out, or the room for a text.
#pragma once

#include "geometry/curve/arc_path.hpp"
#include "geometry/units.hpp"

namespace lastwright {

struct InscribedCircle {
  Vec2 centre;
  double radius = 0.0;  // mm; 0 for an outline without area
};

// Its radius is exact for its centre (the distance to lines and arcs) and no more than `precision` below that
// of the largest one. Boxes of the plane are split where they may still hold a better centre: the distance to
// the outline changes by no more than the centre moves.
InscribedCircle largest_inscribed_circle(const ClosedArcPath& path,
                                         Millimetres precision = Millimetres(1e-3));

}  // namespace lastwright
