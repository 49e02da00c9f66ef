// The point of a body that lies farthest along a direction: on the trimmed faces themselves, whatever they
// are cut into and however coarse the mesh.
#pragma once

#include "geometry/solid/body.hpp"

namespace lastwright {

// Within about 1e-6 mm along the direction; of facets the corner itself. Of several that lie equally far the
// one of the first face.
SurfaceSpot farthest(const Body& body, Vec3 along);

}  // namespace lastwright
