// A line parallel to an open path, for stitch lines and rows: offset_open, with a quick way for plain curves.
#pragma once

#include "geometry/curve/arc_path.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// The same line as offset_open with its default options, within kOffset. Quick where the path has no corner,
// turns by less than a right angle altogether and is nowhere tighter than the distance: then arcs become
// concentric arcs and nothing can overlap, because two points of it that face each other need a turn of at
// least a right angle between.
Result<OpenArcPath> parallel(const OpenArcPath& path, Millimetres left);

}  // namespace lastwright
