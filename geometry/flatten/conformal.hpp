// A first flat copy of a surface: least squares conformal maps (B. Levy and others, "Least squares conformal
// maps for automatic texture atlas generation", ACM Transactions on Graphics 21, 2002).
#pragma once

#include "geometry/flatten/flat_lines.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// Two points are pinned, `left` at the origin and `right` on the x axis; the copy then gets the area of the
// surface. May fold: what starts from it must not care.
Result<std::vector<Vec2>> conformal_copy(const FlatMesh& mesh, std::size_t points, std::uint32_t left,
                                         std::uint32_t right);

}  // namespace lastwright
