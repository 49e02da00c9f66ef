// How near one outline can be brought to another by moving and turning it, never turning it over: the least
// greatest distance of the two, over all motions.
//
// One figure for two outlines, whichever is named first: they are put in an order of their own before they
// are fitted. Each turn is given a bound below which no shift at that turn comes: an outline's Steiner point
// moves by at most 4 / pi of how far the outline does (R. Schneider, Convex Bodies: The Brunn-Minkowski
// Theory, section 1.8), so with these points on each other two outlines are at most 1 + 4 / pi times as far
// apart as at best. Turns whose bound is above what is already reached are left out with certainty; about the
// others the motion is fitted (rigid_fit, `closest`). What is told is reached by the motion that is told,
// within `kClosestPrecision`; that no motion among those others does better is a search, not a proof.
#pragma once

#include <vector>

#include "geometry/map/rigid_fit.hpp"

namespace lastwright {

// The last decimal that is told of such a figure.
inline constexpr Millimetres kClosestPrecision{1e-3};

struct Lie {
  double off = 0.0;     // mm: greatest distance of the two outlines, two-sided
  Placement placement;  // of the one onto the other
};

// The closest lie first; then those others that were found within `also_within`, the least turned before.
std::vector<Lie> closest_lies(const ClosedArcPath& one, const ClosedArcPath& other,
                              Millimetres also_within = Millimetres(0.0));

}  // namespace lastwright
