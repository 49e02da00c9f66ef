// Lines fitted into a piece.
#pragma once

#include <optional>
#include <span>

#include "geometry/curve/arc_path.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

// The line run on straight at both ends, or cut off, so that it ends on the outline: the stretch about its
// middle that lies inside. An end on the fold stays there. Nothing when its middle lies outside.
std::optional<OpenArcPath> clip_inside(const OpenArcPath& line, const ClosedArcPath& outline,
                                       const std::optional<Mirror>& fold);

// A smooth line through the points: two make a straight one; at each of more it has the direction of the
// circle through the point and its neighbours. Precondition: two points at least, neighbours apart.
OpenArcPath smooth_through(std::span<const Vec2> points);

}  // namespace lastwright
