// Paths carried through an affine map, exactly: arcs stay arcs where circles stay circles and become rational
// splines where they do not.
#pragma once

#include "geometry/io/dxf/dxf_entity.hpp"
#include "geometry/io/paper/plane_affine.hpp"

namespace lastwright {

// The curves of a polyline after `map`. Vertices that fall on the one before
// (tolerance::kSamePoint, no arc between them) start no curve and are counted.
// Never fails, but curves may be empty: then the polyline has no length.
DrawnPath placed_path(const DxfPolyline& polyline, const PlaneAffine& map);
DrawnPath placed_path(const Spline& spline, const PlaneAffine& map);
// A circle that becomes an ellipse.
DrawnPath placed_path(const DxfCircle& circle, const PlaneAffine& map);

}  // namespace lastwright
