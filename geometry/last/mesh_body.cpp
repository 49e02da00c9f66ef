#include "geometry/last/mesh_body.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>

#include "geometry/last/mesh_tree.hpp"
#include "geometry/last/stl.hpp"

namespace lastwright {

namespace {

constexpr double kLooksDown = -0.7;   // of the unit normal's z: 45 degrees
constexpr double kLooksUp = 0.94;     // 20 degrees: top planes tilt
constexpr double kSmooth = 0.35;      // radians between neighbours: beyond it the mesh has a corner
constexpr double kNormalReach = 6.0;  // mm: facets averaged for a normal
constexpr double kLeastTop = 300.0;   // mm2: a smaller plane is no top
constexpr double kFlat = 0.5;         // mm: how plane a top is
constexpr double kSpeck = 30.0;       // mm2: smaller islands in the bottom belong to it

std::size_t at(std::int32_t i) {
  return static_cast<std::size_t>(i);
}

Vec3 area_of(const Mesh& mesh, const Triangle& t) {
  const Vec3 a = mesh.nodes[t.node[0]].point;
  return 0.5 * cross(mesh.nodes[t.node[1]].point - a, mesh.nodes[t.node[2]].point - a);
}
Vec3 centre_of(const Mesh& mesh, const Triangle& t) {
  return (mesh.nodes[t.node[0]].point + mesh.nodes[t.node[1]].point + mesh.nodes[t.node[2]].point) / 3.0;
}

// The two triangles at each side.
using Neighbours = std::vector<std::array<std::int32_t, 2>>;
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

// Connected parts of the triangles that are marked alike: the number of each triangle's part, and their
// areas.
struct Parts {
  std::vector<std::int32_t> of;
  std::vector<double> area;
};
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

// Marks 2 on the largest plane part that looks up, if there is one worth the name.
void mark_top(const Mesh& mesh, const Neighbours& neighbours, std::vector<int>& marks, double middle) {
  std::vector<int> up(marks.size(), 0);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const Vec3 area = area_of(mesh, mesh.triangles[i]);
    up[i] = area.z > kLooksUp * norm(area) && centre_of(mesh, mesh.triangles[i]).z > middle ? 1 : 0;
  }
  const Parts parts = parts_of(mesh, neighbours, up);
  std::int32_t best = -1;
  for (std::size_t i = 0; i < up.size(); ++i) {
    const std::int32_t part = parts.of[i];
    if (up[i] == 1 && (best < 0 || parts.area[at(part)] > parts.area[at(best)])) best = part;
  }
  if (best < 0 || parts.area[at(best)] < kLeastTop) return;
  Vec3 normal;
  Vec3 centre;
  for (std::size_t i = 0; i < up.size(); ++i) {
    if (parts.of[i] != best) continue;
    const Vec3 area = area_of(mesh, mesh.triangles[i]);
    normal += area;
    centre += norm(area) * centre_of(mesh, mesh.triangles[i]);
  }
  centre = centre / parts.area[at(best)];
  normal = unit(normal);
  for (std::size_t i = 0; i < up.size(); ++i) {
    if (parts.of[i] == best && std::abs(dot(normal, centre_of(mesh, mesh.triangles[i]) - centre)) > kFlat)
      return;
  }
  for (std::size_t i = 0; i < up.size(); ++i) {
    if (parts.of[i] == best) marks[i] = 2;
  }
}

void make_rims(Body& body, const Neighbours& neighbours) {
  Mesh& mesh = body.mesh;
  body.edges.clear();
  mesh.rims.clear();
  for (BodyFace& face : body.faces) face.loops.assign(1, {});
  for (std::size_t s = 0; s < mesh.sides.size(); ++s) {
    MeshSide& side = mesh.sides[s];
    side.rim = -1;
    const auto [a, b] = neighbours[s];
    if (a < 0 || b < 0) continue;
    const Triangle& one = mesh.triangles[at(a)];
    const Triangle& other = mesh.triangles[at(b)];
    if (one.face == other.face) continue;
    BodyEdge edge;
    edge.curve.knots = clamped_knots(1, {0.0, 1.0});
    edge.curve.poles = {mesh.nodes[side.a].point, mesh.nodes[side.b].point};
    edge.kink = std::acos(std::clamp(dot(unit(area_of(mesh, one)), unit(area_of(mesh, other))), -1.0, 1.0));
    const int index = static_cast<int>(body.edges.size());
    body.edges.push_back(std::move(edge));
    side.rim = static_cast<std::int32_t>(mesh.rims.size());
    mesh.rims.push_back({index, 0.0, 1.0});
    for (std::int32_t face : {one.face, other.face})
      body.faces[at(face)].loops[0].uses.push_back({index, true});
  }
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

void find_facet_roles(Body& body) {
  Mesh& mesh = body.mesh;
  const Neighbours neighbours = neighbours_of(mesh);
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  std::vector<int> marks(mesh.triangles.size(), 0);
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const Vec3 area = area_of(mesh, mesh.triangles[i]);
    marks[i] = area.z < kLooksDown * norm(area) ? 1 : 0;
    low = std::min(low, centre_of(mesh, mesh.triangles[i]).z);
    high = std::max(high, centre_of(mesh, mesh.triangles[i]).z);
  }
  const Parts parts = parts_of(mesh, neighbours, marks);
  std::array<std::int32_t, 2> most{-1, -1};
  for (std::size_t i = 0; i < marks.size(); ++i) {
    std::int32_t& best = most[static_cast<std::size_t>(marks[i])];
    if (best < 0 || parts.area[at(parts.of[i])] > parts.area[at(best)]) best = parts.of[i];
  }
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const bool main = parts.of[i] == most[static_cast<std::size_t>(marks[i])];
    // Other parts that look down (under a hook, in a hole) are no bottom; specks in the bottom are.
    if (marks[i] == 1 && !main)
      marks[i] = 0;
    else if (marks[i] == 0 && !main && parts.area[at(parts.of[i])] < kSpeck)
      marks[i] = 1;
  }
  mark_top(mesh, neighbours, marks, 0.5 * (low + high));
  body.faces.assign(3, {});
  body.faces[0].role = FaceRole::kUpper;
  body.faces[1].role = FaceRole::kBottom;
  body.faces[2].role = FaceRole::kTop;
  std::array<bool, 3> used{};
  for (std::size_t i = 0; i < marks.size(); ++i) {
    mesh.triangles[i].face = marks[i];
    used[static_cast<std::size_t>(marks[i])] = true;
  }
  if (!used[1]) body.faces[1].role = FaceRole::kUpper;  // no bottom: said by who asked
  for (MeshNode& n : mesh.nodes) n.face = mesh.triangles[static_cast<std::size_t>(n.u)].face;
  make_rims(body, neighbours);
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
    const Vec3 one = area_of(mesh, mesh.triangles[at(a)]);
    const Vec3 other = area_of(mesh, mesh.triangles[at(b)]);
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
