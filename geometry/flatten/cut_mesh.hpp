// The part of a mesh on one side of a surface that is given as the zeros of a function.
#pragma once

#include <functional>

#include "geometry/flatten/skin_mesh.hpp"

namespace lastwright {

struct CutMesh {
  SkinMesh mesh;
  std::vector<bool> on_cut;  // by point: made where a side crosses the surface
};

// Triangles that the surface crosses are cut; the function counts as straight along a side. Both sides of a
// cut (`positive` true and false) share its points. A crossing keeps a millionth of the side's length away
// from the side's ends, so that no triangle comes out without area: nothing is moved onto the surface, which
// would tear corners off.
CutMesh cut_mesh(const SkinMesh& mesh, const std::function<double(Vec3)>& height, bool positive);

// Of the connected parts of a mesh the one with the largest area; points that nothing uses are left out.
// `kept`: the old number of each point.
SkinMesh largest_part(const SkinMesh& mesh, std::vector<std::uint32_t>& kept);

// The loops of sides that belong to one triangle only, each in the walking direction of its triangles. Empty
// where two loops touch in a point or a side has more than two triangles.
std::vector<std::vector<std::uint32_t>> boundary_loops(const std::vector<Corners>& triangles);

}  // namespace lastwright
