// A body made of a mesh: its triangles are the form itself, and a map takes it by its corners.
//
// A material point is a place in a triangle: (face, u, v) with u = the
// triangle's number plus half the weight of its second corner, v = the weight of its third.
#pragma once

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"
#include "geometry/solid/space_map.hpp"

namespace lastwright {

// Refuses a mesh that is not watertight, with its holes. Of several loose parts the largest is
// taken, unless a second is nearly as large (a pair), which is refused; triangles that look inward are turned
// round. Both are noted.
Result<Body> mesh_body(const PlainMesh& mesh);

// The triangles of such a body in their order, corner by corner as the body has them.
PlainMesh facet_mesh(const Body& body);

// The image of a body of facets: its corners moved by the map, its edges with them. `bow`: how far the
// middles of its sides lie off the image of the middles, mm.
Body facet_image(const Body& body, const SpaceMap& map, double& bow);

// Facets as a map makes them (null: as they are), each plane between the images of its corners.
SurfacePoint facet_at(const Body& body, const SurfaceSpot& spot, const SpaceMap* map);
// Unit normal there: the mean of the facets of its face that hang together around it, weighed by a bell that
// ends some millimetres off, so that it does not jump from facet to facet.
Vec3 facets_normal(const Body& body, const SurfaceSpot& spot, const SpaceMap* map);

// The nearest place in the triangles of a face.
SurfaceSpot nearest_facet(const Body& body, int face, Vec3 p);

// How rough a mesh is: the standard deviation of its corners about a smooth surface,
// mm, told by how each lies to its neighbours against how those lie to theirs. Smooth
// curvature drops out; corners of the form are too few to count. The tape round a
// rough section goes over its outermost points: some eight times this too long.
double roughness(const Body& body);
inline constexpr double kRough = 0.02;        // mm: beyond it a girth reads high by more than a tenth
inline constexpr double kTapePerRough = 8.0;  // measured on a demo last with corners 1 mm apart

// How far the chords of the mesh lie inside the smooth form it was made from, mm, mean over the area: told
// by the angles between neighbouring triangles, corners left out. A girth reads low by about 2 pi times this.
double chord_depth(const Body& body);

}  // namespace lastwright
