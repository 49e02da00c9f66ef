// Which way the smooth form looks that the facets of a mesh are chords of.
#pragma once

#include "geometry/solid/body.hpp"
#include "geometry/solid/space_map.hpp"

namespace lastwright {

// Outward unit normal at a place in the facets, as a map makes them (null: as they are): that of a surface of
// the third degree laid through the corners of its face within 6 mm, of a coarse mesh up to 13. A mean of
// normals (facets_normal) leans towards where the surface bends more; this does not, and converges on the
// solid's own normal as the mesh gets finer. Where there are too few corners, or they lie so that they fix no
// surface near that mean, it is the mean.
Vec3 smooth_normal(const Body& body, const SurfaceSpot& spot, const SpaceMap* map);

}  // namespace lastwright
