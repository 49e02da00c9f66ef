#include "geometry/solid/mesh_join.hpp"

#include <cmath>
#include <utility>

namespace lastwright {

std::array<std::int64_t, 3> CornerJoiner::key_of(Vec3 p) const {
  return {std::llround(p.x / grid_), std::llround(p.y / grid_), std::llround(p.z / grid_)};
}

std::uint32_t CornerJoiner::add(PlainMesh& mesh, Vec3 p) {
  const auto [found, is_new] = known_.try_emplace(key_of(p), static_cast<std::uint32_t>(mesh.points.size()));
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

StlRead CornerJoiner::in_order_of(StlRead read, const std::vector<Vec3>& listed) const {
  constexpr std::uint32_t kNone = UINT32_MAX;
  std::vector<std::uint32_t> place(read.mesh.points.size(), kNone);
  std::vector<Vec3> points;
  points.reserve(place.size());
  for (const Vec3& p : listed) {
    const auto found = known_.find(key_of(p));
    if (found == known_.end() || place[found->second] != kNone) continue;
    place[found->second] = static_cast<std::uint32_t>(points.size());
    points.push_back(read.mesh.points[found->second]);
  }
  read.mesh.points = std::move(points);
  for (auto& t : read.mesh.triangles) t = {place[t[0]], place[t[1]], place[t[2]]};
  return read;
}

}  // namespace lastwright
