// Lines fitted into a piece.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "geometry/curve/arc_path.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

struct ClippedLine {
  std::vector<OpenArcPath> parts;  // in the order of the line
  double outside = 0.0;            // length of the line itself that lies outside and is in no part
  Vec2 outside_at;                 // the middle of the longest stretch that does
  bool squared = false;            // an end is drawn square to the edge that the line lies beside
};

struct ClipEnds {
  bool run_back = true;  // from the line's start, straight, to the outline
  bool run_on = true;
  bool half = false;  // only the drawn half counts as inside: what lies on the left of the fold
};

// What of the line lies inside the outline, run on straight at both ends so that it ends on the outline. An
// end on the fold stays there. No parts where nothing of it lies inside.
ClippedLine clip_inside(const OpenArcPath& line, const ClosedArcPath& outline,
                        const std::optional<Mirror>& fold, const ClipEnds& ends = {});

// The line without what stands out of the outline at its ends, no more than `reach` of each. A parallel of an
// edge ends square to the edge's end, where the next edge leans inward beyond that edge. What stands out by
// more is no such end and stays, for the checks to find.
OpenArcPath ended_inside(const OpenArcPath& line, const ClosedArcPath& outline, double reach);

// A smooth line through the points: two make a straight one; at each of more it has the direction of the
// circle through the point and its neighbours. Precondition: two points at least, neighbours apart.
OpenArcPath smooth_through(std::span<const Vec2> points);

}  // namespace lastwright
