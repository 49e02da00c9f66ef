// What a drawing holds twice in one place: found, and left out by name.
#pragma once

#include "geometry/io/drawing.hpp"

namespace lastwright {

// Of paths, circles, points and texts of one layer and one insertion that lie on each other to
// tolerance::kSamePoint, whichever way round they are drawn, the first stays and the others go to
// drawing.left_out, each with the entity it lies on. A path is the same when its curves are, one by one.
// Nothing that would be cut changes.
void leave_out_doubles(Drawing& drawing);

// How the reasons of these begin.
inline constexpr const char* kDrawnTwice = "drawn twice";

}  // namespace lastwright
