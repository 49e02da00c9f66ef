// How far the triangles of a mesh lie inside the smooth surface that its corners are points of.
#pragma once

#include "geometry/solid/body.hpp"

namespace lastwright {

// Mean over the mesh, mm, outward bulges counted positive: for each side that two triangles share a quarter
// of the angle between them times their mean width across it, which on a sphere of equal triangles is the
// mean depth e^2 / 8 R to first order. Noise of the corners bends sides both ways and averages out; what
// meets more sharply than by 0.35 radians is an edge, and no part of it. At least 0.
double mean_sag(const PlainMesh& mesh);

}  // namespace lastwright
