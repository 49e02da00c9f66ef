// Triangles of a mesh and their neighbours: areas, and the connected parts of those that are marked alike.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "geometry/solid/body.hpp"

namespace lastwright {

// Half the cross product of two sides: points outward, as long as the triangle is large (mm2).
Vec3 area_of(const Mesh& mesh, const Triangle& t);
Vec3 centre_of(const Mesh& mesh, const Triangle& t);

// The two triangles at each side, in the order of Mesh::sides; -1 where there is none.
using Neighbours = std::vector<std::array<std::int32_t, 2>>;
Neighbours neighbours_of(const Mesh& mesh);

// Connected parts of the triangles that are marked alike:
// the number of each triangle's part, and their areas (mm2).
struct Parts {
  std::vector<std::int32_t> of;
  std::vector<double> area;
};
Parts parts_of(const Mesh& mesh, const Neighbours& neighbours, const std::vector<int>& marks);

}  // namespace lastwright
