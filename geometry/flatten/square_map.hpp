// A four-sided piece of surface laid on the unit square without folds: mean value coordinates (M. Floater,
// "Mean value coordinates", Computer Aided Geometric Design 20, 2003), whose weights are positive, so that
// with a convex rim no triangle can turn over.
#pragma once

#include "geometry/flatten/skin_mesh.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct SquareMap {
  FourSides skin;        // inner sides that joined two points of one side of the square are split
  std::vector<Vec2> uv;  // by point; the four sides by their length
};

// Refuses, with how many, triangles that came out without a positive area: proof that the map does not fold.
Result<SquareMap> map_to_square(FourSides skin);

}  // namespace lastwright
