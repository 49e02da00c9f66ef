// Openings of an outline - slots, throats, notches - that vanish under what is added to its edges.
#pragma once

#include <optional>
#include <span>

#include "geometry/offset/offset.hpp"

namespace lastwright {

// A point in an opening of the source that the moved outline
// has closed over without leaving a pocket, or nothing.
//
// Wherever the moved outline goes from one edge to another, what lies between the two on the source (from the
// foot of their common point on the one to its foot on the other) is no longer on it. Where what the sides
// of an opening sweep has crossed, so that the moved outline has them in the wrong order, that is everything
// between the last segment before and the first behind those in the wrong order. At a hollow corner that
// is the corner itself, and as it must be. It is an opening that was closed over when its deepest point lies
// at least kOpening behind its mouth and
// - its sides face each other: from one to the other the outline turns to the hollow side by 170 degrees or
//   more, so that the opening gets no wider on the way out, or hardly (a slot, a throat, a round notch); or
// - it has gone with its mouth: on either side the outline turns into it by 20 degrees or more, with all its
//   hollow turns between (a notch); or both sides are covered up to the corners at which they begin, and less
//   than a third of their length shows.
//
// With step corners, which cut into the allowance, the last millimetres of a side may stay uncovered however
// much is added; what closes over by the last of these rules alone is then let through.
//
// The verdict does not depend on the place or the hand of the opening, on
// how its edges are split, or on where the outline starts. A wider opening
// of the same sides is never closed over where a narrower one is not.
//
// `distances` as of offset(); what lies between edges that do not go outward is not looked at.
std::optional<Vec2> closed_opening(const ClosedArcPath& source, std::span<const Millimetres> distances,
                                   const OffsetOutline& moved);

}  // namespace lastwright
