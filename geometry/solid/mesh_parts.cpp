#include "geometry/solid/mesh_parts.hpp"

#include <algorithm>
#include <map>
#include <numeric>

namespace lastwright {

namespace {

std::size_t at(std::int32_t i) {
  return static_cast<std::size_t>(i);
}

}  // namespace

Vec3 area_of(const Mesh& mesh, const Triangle& t) {
  const Vec3 a = mesh.nodes[t.node[0]].point;
  return 0.5 * cross(mesh.nodes[t.node[1]].point - a, mesh.nodes[t.node[2]].point - a);
}
Vec3 centre_of(const Mesh& mesh, const Triangle& t) {
  return (mesh.nodes[t.node[0]].point + mesh.nodes[t.node[1]].point + mesh.nodes[t.node[2]].point) / 3.0;
}

Neighbours neighbours_of(const Mesh& mesh) {
  Neighbours result(mesh.sides.size(), {-1, -1});
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    for (std::uint32_t side : mesh.triangles[i].side) {
      auto& pair = result[side];
      pair[pair[0] < 0 ? 0 : 1] = static_cast<std::int32_t>(i);
    }
  }
  return result;
}

Parts parts_of(const Mesh& mesh, const Neighbours& neighbours, const std::vector<int>& marks) {
  std::vector<std::int32_t> leader(mesh.triangles.size());
  std::iota(leader.begin(), leader.end(), 0);
  const auto find = [&](std::int32_t i) {
    while (leader[at(i)] != i) i = leader[at(i)] = leader[at(leader[at(i)])];
    return i;
  };
  for (const auto& [a, b] : neighbours) {
    if (a < 0 || b < 0 || marks[at(a)] != marks[at(b)]) continue;
    const std::int32_t ra = find(a);
    const std::int32_t rb = find(b);
    leader[at(std::max(ra, rb))] = std::min(ra, rb);
  }
  Parts parts;
  parts.of.resize(leader.size());
  std::map<std::int32_t, std::int32_t> numbers;
  for (std::size_t i = 0; i < leader.size(); ++i) {
    const auto [found, is_new] =
        numbers.try_emplace(find(static_cast<std::int32_t>(i)), static_cast<std::int32_t>(parts.area.size()));
    if (is_new) parts.area.push_back(0.0);
    parts.of[i] = found->second;
    parts.area[at(found->second)] += norm(area_of(mesh, mesh.triangles[i]));
  }
  return parts;
}

}  // namespace lastwright
