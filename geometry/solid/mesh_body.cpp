#include "geometry/solid/mesh_body.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>

#include "geometry/solid/mesh_parts.hpp"
#include "geometry/solid/mesh_tree.hpp"
#include "geometry/solid/stl.hpp"

namespace lastwright {

namespace {

constexpr double kSmooth = 0.35;      // radians between neighbours: beyond it the mesh has a corner
constexpr double kNormalReach = 6.0;  // mm: facets averaged for a normal

Body body_of(const PlainMesh& plain) {
  Body body;
  body.facets = true;
  body.faces.emplace_back();
  Mesh& mesh = body.mesh;
  for (const Vec3& p : plain.points) mesh.nodes.push_back({0, 0, 0, p});
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> sides;
  for (std::size_t i = 0; i < plain.triangles.size(); ++i) {
    Triangle t;
    t.node = plain.triangles[i];
    for (std::size_t k = 0; k < 3; ++k) {
      const auto [found, is_new] = sides.try_emplace(std::minmax(t.node[k], t.node[(k + 1) % 3]),
                                                     static_cast<std::uint32_t>(mesh.sides.size()));
      if (is_new) mesh.sides.push_back({t.node[k], t.node[(k + 1) % 3], -1});
      t.side[k] = found->second;
      MeshNode& node = mesh.nodes[t.node[k]];
      node.u = static_cast<double>(i) + (k == 1 ? 0.5 : 0.0);
      node.v = k == 2 ? 1.0 : 0.0;
    }
    mesh.triangles.push_back(t);
  }
  return body;
}

// The largest of several loose parts.
PlainMesh largest_part(const PlainMesh& mesh, std::size_t& count) {
  std::vector<std::uint32_t> leader(mesh.points.size());
  std::iota(leader.begin(), leader.end(), 0u);
  const auto find = [&](std::uint32_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  for (const auto& t : mesh.triangles) {
    for (std::size_t k = 1; k < 3; ++k) {
      const std::uint32_t a = find(t[0]);
      const std::uint32_t b = find(t[k]);
      leader[std::max(a, b)] = std::min(a, b);
    }
  }
  std::map<std::uint32_t, std::size_t> sizes;
  for (const auto& t : mesh.triangles) ++sizes[find(t[0])];
  count = sizes.size();
  if (count == 1) return mesh;
  const auto most = std::max_element(sizes.begin(), sizes.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  PlainMesh part;
  std::vector<std::uint32_t> place(mesh.points.size(), 0);
  for (std::uint32_t i = 0; i < mesh.points.size(); ++i) {
    if (find(i) != most->first) continue;
    place[i] = static_cast<std::uint32_t>(part.points.size());
    part.points.push_back(mesh.points[i]);
  }
  for (const auto& t : mesh.triangles) {
    if (find(t[0]) == most->first) part.triangles.push_back({place[t[0]], place[t[1]], place[t[2]]});
  }
  return part;
}

}  // namespace

SurfacePoint Body::facet_at(const SurfaceSpot& s) const {
  const auto t = std::min(static_cast<std::size_t>(std::max(0.0, s.u)), mesh.triangles.size() - 1);
  const double second = 2.0 * (s.u - static_cast<double>(t));
  const Vec3 a = mesh.nodes[mesh.triangles[t].node[0]].point;
  const Vec3 ab = mesh.nodes[mesh.triangles[t].node[1]].point - a;
  const Vec3 ac = mesh.nodes[mesh.triangles[t].node[2]].point - a;
  return {a + second * ab + s.v * ac, 2.0 * ab, ac};
}

Vec3 Body::facets_normal(const SurfaceSpot& s) const {
  const Vec3 p = facet_at(s).p;
  Vec3 sum;
  for (const Triangle& t : mesh.triangles) {
    if (t.face == s.face && distance(centre_of(mesh, t), p) < kNormalReach) sum += area_of(mesh, t);
  }
  const SurfacePoint here = facet_at(s);
  return sum == Vec3{} ? unit(cross(here.du, here.dv)) : unit(sum);
}

Result<Body> mesh_body(const PlainMesh& mesh) {
  if (const std::size_t open = open_sides(mesh); open > 0) {
    return Problem{Trouble::kGeometry,
                   "the mesh is not watertight: sides of its triangles are open",
                   {},
                   static_cast<double>(open),
                   0.0};
  }
  std::size_t count = 0;
  PlainMesh part = largest_part(mesh, count);
  const bool inward = volume(part) < 0.0;
  if (inward) {
    for (auto& t : part.triangles) std::swap(t[1], t[2]);
  }
  Body body = body_of(part);
  if (count > 1)
    body.notes.push_back(fmt::format("the mesh has {} loose parts; the largest was taken", count));
  if (inward) body.notes.emplace_back("the triangles looked inward; they were turned round");
  return body;
}

SurfaceSpot nearest_facet(const Body& body, int face, Vec3 p) {
  const Mesh& mesh = body.mesh;
  SurfaceSpot best{face, 0, 0};
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    const Triangle& t = mesh.triangles[i];
    if (t.face != face) continue;
    const Vec3 a = mesh.nodes[t.node[0]].point;
    const Vec3 b = mesh.nodes[t.node[1]].point;
    const Vec3 c = mesh.nodes[t.node[2]].point;
    const std::array<double, 3> w = foot_on(a, b, c, p);
    const double off = distance(p, w[0] * a + w[1] * b + w[2] * c);
    if (off >= nearest) continue;
    nearest = off;
    best = {face, static_cast<double>(i) + 0.5 * w[1], w[2]};
  }
  return best;
}

double chord_depth(const Body& body) {
  const Mesh& mesh = body.mesh;
  const Neighbours neighbours = neighbours_of(mesh);
  double sum = 0.0;
  double weights = 0.0;
  for (std::size_t s = 0; s < mesh.sides.size(); ++s) {
    const auto [a, b] = neighbours[s];
    if (a < 0 || b < 0) continue;
    const Vec3 one = area_of(mesh, mesh.triangles[static_cast<std::size_t>(a)]);
    const Vec3 other = area_of(mesh, mesh.triangles[static_cast<std::size_t>(b)]);
    const double weight = norm(one) + norm(other);
    const double angle = std::acos(std::clamp(dot(unit(one), unit(other)), -1.0, 1.0));
    if (angle > kSmooth || !(weight > 0.0)) continue;
    // Across the side the two triangles are this high together: an arc through them that turns by the angle
    // rises over their chords by a twelfth of height times angle in the mean.
    const double length = distance(mesh.nodes[mesh.sides[s].a].point, mesh.nodes[mesh.sides[s].b].point);
    if (!(length > 0.0)) continue;
    const double height = weight / length;  // mean of the two heights, each 2 area / length
    sum += weight * height * angle / 12.0;
    weights += weight;
  }
  return weights > 0.0 ? sum / weights : 0.0;
}

}  // namespace lastwright
