// The lines of a section as a picture draws them.
#pragma once

#include <functional>
#include <vector>

#include "geometry/solid/section.hpp"

namespace lastwright {

// The stretches of a section for whose ends `seen` holds (none given: all), as lines that run on from each to
// the one that begins where it ends. Where a plane runs along a seam the faces beside it leave gaps: ends
// within half a millimetre of each other are joined, and a line that comes so near its own beginning closes.
std::vector<std::vector<Vec3>> section_lines(const Section& section,
                                             const std::function<bool(Vec3, Vec3)>& seen = {});

}  // namespace lastwright
