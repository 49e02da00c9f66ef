#include "geometry/solid/mesh_join.hpp"

#include <cmath>

namespace lastwright {

std::uint32_t CornerJoiner::add(PlainMesh& mesh, Vec3 p) {
  const std::array<std::int64_t, 3> key{std::llround(p.x / grid_), std::llround(p.y / grid_),
                                        std::llround(p.z / grid_)};
  const auto [found, is_new] = known_.try_emplace(key, static_cast<std::uint32_t>(mesh.points.size()));
  if (is_new) mesh.points.push_back(p);
  return found->second;
}

void CornerJoiner::add_triangle(StlRead& read, const std::array<Vec3, 3>& corners) {
  std::array<std::uint32_t, 3> t{};
  for (std::size_t k = 0; k < 3; ++k) t[k] = add(read.mesh, corners[k]);
  if (t[0] == t[1] || t[1] == t[2] || t[0] == t[2]) {
    ++read.flat;
  } else {
    read.mesh.triangles.push_back(t);
  }
}

}  // namespace lastwright
