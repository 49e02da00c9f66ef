// A body made of a mesh: it can be measured, with the mesh's own chord error, but not graded.
//
// Its triangles are the form itself. A material point is a place in a triangle: (face, u, v) with u = the
// triangle's number plus half the weight of its second corner, v = the weight of its third.
#pragma once

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"

namespace lastwright {

// Refuses a mesh that is not watertight (how many sides are open). Of several loose parts the largest is
// taken; triangles that look inward are turned round. Both are noted.
Result<Body> mesh_body(const PlainMesh& mesh);

// The nearest place in the triangles of a face.
SurfaceSpot nearest_facet(const Body& body, int face, Vec3 p);

// How far the chords of the mesh lie inside the smooth form it was made from, mm, mean over the area: told
// by the angles between neighbouring triangles, corners left out. A girth reads low by about 2 pi times this.
double chord_depth(const Body& body);

}  // namespace lastwright
