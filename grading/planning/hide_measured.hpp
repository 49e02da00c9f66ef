// What lies on a hide, measured by clipping, of which the search that laid it knows nothing.
#pragma once

#include <cstddef>
#include <vector>

#include "geometry/fill/region_fill.hpp"

namespace lastwright {

// mm^2, at most, that any two pieces share, or that one has off the hide or in a hole. `laid`: of each piece
// its convex parts, where it lies.
double overlap_on_hide(const std::vector<std::vector<Polygon>>& laid, const FillRegion& hide,
                       const std::vector<Polygon>& holes);

// mm^2 of a piece that lie beyond each of the regions `own`, in the best of them.
double beyond_regions(const std::vector<Polygon>& laid, const std::vector<FillRegion>& regions,
                      const std::vector<std::size_t>& own);

}  // namespace lastwright
