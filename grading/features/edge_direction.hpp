// The direction of an edge at a place on it, for what is set out square to the edge.
#pragma once

#include <optional>
#include <span>

#include "geometry/curve/smooth_span.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

// The direction that the edge itself has, not the arcs that follow it, which have `seen` there. `spans`: of
// the net line, of a piece that is cut double the drawn half; on the other half the edge comes back, as its
// image in `mirror`. Where no span is there, or the edge has a corner, it is `seen`.
Vec2 true_direction(std::span<const SmoothSpan> spans, const std::optional<Mirror>& mirror, Vec2 at,
                    Vec2 seen);

}  // namespace lastwright
