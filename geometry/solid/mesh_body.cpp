#include "geometry/solid/mesh_body.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>
#include <tuple>
#include <unordered_set>
#include <utility>

#include "geometry/flatten/cut_mesh.hpp"
#include "geometry/middle_value.hpp"
#include "geometry/solid/mesh_parts.hpp"
#include "geometry/solid/mesh_tree.hpp"
#include "geometry/solid/stl.hpp"

namespace lastwright {

namespace {

constexpr double kSmooth = 0.35;      // radians between neighbours: beyond it the mesh has a corner
constexpr double kNormalReach = 6.0;  // mm: facets averaged for a normal
constexpr double kOwnWeight = 0.02;   // of the facet itself, whose middle may lie farther off than that

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
  mesh.beside = neighbours_of(mesh);
  return body;
}

// Openings that cannot be walked round, by their sides.
std::string open_sides_of(const PlainMesh& mesh) {
  std::map<std::pair<std::uint32_t, std::uint32_t>, int> sides;
  for (const auto& t : mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) ++sides[{t[k], t[(k + 1) % 3]}];
  }
  const auto place = [&](const auto& wanted) {
    double length = 0.0;
    Vec3 sum;
    std::size_t count = 0;
    for (const auto& [side, times] : sides) {
      if (!wanted(side, times)) continue;
      const double one = distance(mesh.points[side.first], mesh.points[side.second]);
      sum += 0.5 * one * (mesh.points[side.first] + mesh.points[side.second]);
      length += one;
      ++count;
    }
    return std::tuple{count, length, length > 0.0 ? sum / length : sum};
  };
  const auto [twice, ignored, there] = place([](const auto&, int times) { return times > 1; });
  if (twice > 0)
    return fmt::format(
        "along {} of its sides triangles lie on each other or look opposite ways, about ({:.0f}, {:.0f}, "
        "{:.0f}); "
        "mend them where the mesh was made",
        twice, there.x, there.y, there.z);
  const auto [open, length, middle] = place([&](const auto& side, int) {
    return !sides.contains({side.second, side.first});
  });
  return fmt::format(
      "it is open along {:.0f} mm about ({:.0f}, {:.0f}, {:.0f}), where openings touch each other; close "
      "them where "
      "the last was scanned",
      length, middle.x, middle.y, middle.z);
}

// The holes of a mesh as a person may look for them: how many, and where the largest is.
std::string holes_of(const PlainMesh& mesh) {
  // Half of all sides.
  if (2 * open_sides(mesh) > 3 * mesh.triangles.size())
    return "its triangles do not meet side by side: corners that should be one lie apart; join them where "
           "the mesh "
           "was made";
  std::vector<std::array<std::uint32_t, 3>> triangles = mesh.triangles;
  const std::vector<std::vector<std::uint32_t>> loops = boundary_loops(triangles);
  const std::vector<std::uint32_t>* most = nullptr;
  double longest = 0.0;
  for (const std::vector<std::uint32_t>& loop : loops) {
    double length = distance(mesh.points[loop.back()], mesh.points[loop.front()]);
    for (std::size_t i = 1; i < loop.size(); ++i)
      length += distance(mesh.points[loop[i - 1]], mesh.points[loop[i]]);
    if (length <= longest) continue;
    longest = length;
    most = &loop;
  }
  if (!most) return open_sides_of(mesh);
  Vec3 middle;
  for (std::uint32_t i : *most) middle += mesh.points[i] / static_cast<double>(most->size());
  return fmt::format(
      "it has {} hole{}, {} {:.0f} mm round about ({:.0f}, {:.0f}, {:.0f}); close {} where the last was "
      "scanned",
      loops.size(), loops.size() == 1 ? "" : "s", loops.size() == 1 ? "of" : "the largest", longest, middle.x,
      middle.y, middle.z, loops.size() == 1 ? "it" : "them");
}

constexpr double kSmallPart = 0.4;  // of the largest part: bolts, tubes and plates of the heel are smaller

// The largest of several loose parts; refuses another that is nearly as large.
Result<PlainMesh> largest_part(const PlainMesh& mesh, std::size_t& count) {
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
  struct Box {
    Vec3 low{1e300, 1e300, 1e300};
    Vec3 high{-1e300, -1e300, -1e300};
  };
  std::map<std::uint32_t, Box> boxes;
  for (const auto& t : mesh.triangles) {
    Box& box = boxes[find(t[0])];
    for (std::uint32_t i : t) {
      const Vec3 p = mesh.points[i];
      box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y), std::min(box.low.z, p.z)};
      box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y), std::max(box.high.z, p.z)};
    }
  }
  count = boxes.size();
  if (count == 1) return mesh;
  std::vector<std::pair<double, std::uint32_t>> reach;
  for (const auto& [first, box] : boxes) reach.emplace_back(distance(box.low, box.high), first);
  std::sort(reach.begin(), reach.end(), std::greater<>());
  if (reach[1].first > kSmallPart * reach[0].first) {
    return Problem{
        Trouble::kGeometry,
        fmt::format("the mesh has {} loose parts, and a second is nearly as large as the largest: a pair, a "
                    "last sawn in two or a hollow one; keep the last that is meant, as one closed skin (mm "
                    "across, of both)",
                    count),
        {},
        reach[1].first,
        reach[0].first};
  }
  const std::uint32_t most = reach[0].second;
  PlainMesh part;
  std::vector<std::uint32_t> place(mesh.points.size(), 0);
  for (std::uint32_t i = 0; i < mesh.points.size(); ++i) {
    if (find(i) != most) continue;
    place[i] = static_cast<std::uint32_t>(part.points.size());
    part.points.push_back(mesh.points[i]);
  }
  for (const auto& t : mesh.triangles) {
    if (find(t[0]) == most) part.triangles.push_back({place[t[0]], place[t[1]], place[t[2]]});
  }
  return part;
}

}  // namespace

namespace {

// The bell's mean over a triangle, by points some way apart: long triangles reach out of it.
double mean_bell(const std::array<Vec3, 3>& p, Vec3 at) {
  constexpr double kApart = 1.5;  // mm
  const double longest = std::max({distance(p[0], p[1]), distance(p[1], p[2]), distance(p[2], p[0])});
  const double middle = distance((p[0] + p[1] + p[2]) / 3.0, at);
  if (middle > longest + kNormalReach) return 0.0;
  const int parts = std::clamp(static_cast<int>(std::ceil(longest / kApart)), 1, 24);
  double sum = 0.0;
  // The middles of parts * parts equal triangles, those that stand and those that hang.
  for (int i = 0; i < parts; ++i) {
    for (int j = 0; i + j < parts; ++j) {
      for (const double third : {1.0 / 3.0, 2.0 / 3.0}) {
        if (third > 0.5 && i + j + 2 > parts) continue;
        const double u = (i + third) / parts;
        const double v = (j + third) / parts;
        const double d = distance(p[0] + u * (p[1] - p[0]) + v * (p[2] - p[0]), at) / kNormalReach;
        if (d < 1.0) sum += (1.0 - d * d) * (1.0 - d * d);
      }
    }
  }
  return sum / (parts * parts);
}

}  // namespace

SurfacePoint facet_at(const Body& body, const SurfaceSpot& s, const SpaceMap* map) {
  const Mesh& mesh = body.mesh;
  const auto t = std::min(static_cast<std::size_t>(std::max(0.0, s.u)), mesh.triangles.size() - 1);
  const auto corner = [&](std::size_t k) {
    const Vec3 p = mesh.nodes[mesh.triangles[t].node[k]].point;
    return map ? (*map)(p) : p;
  };
  const double second = 2.0 * (s.u - static_cast<double>(t));
  const Vec3 a = corner(0);
  const Vec3 ab = corner(1) - a;
  const Vec3 ac = corner(2) - a;
  return {a + second * ab + s.v * ac, 2.0 * ab, ac};
}

Vec3 facets_normal(const Body& body, const SurfaceSpot& s, const SpaceMap* map) {
  const Mesh& mesh = body.mesh;
  const SurfacePoint here = facet_at(body, s, map);
  const auto first = static_cast<std::int32_t>(
      std::min(static_cast<std::size_t>(std::max(0.0, s.u)), mesh.triangles.size() - 1));
  const std::int32_t face = mesh.triangles[static_cast<std::size_t>(first)].face;
  std::unordered_set<std::int32_t> seen{first};
  std::vector<std::int32_t> front{first};
  Vec3 sum;
  for (std::size_t i = 0; i < front.size(); ++i) {
    const Triangle& t = mesh.triangles[static_cast<std::size_t>(front[i])];
    std::array<Vec3, 3> p;
    for (std::size_t k = 0; k < 3; ++k) {
      p[k] = mesh.nodes[t.node[k]].point;
      if (map) p[k] = (*map)(p[k]);
    }
    const double bell = mean_bell(p, here.p);
    if (i > 0 && bell == 0.0) continue;
    sum += std::max(bell, i == 0 ? kOwnWeight : 0.0) * cross(p[1] - p[0], p[2] - p[0]);
    for (std::uint32_t side : t.side) {
      for (std::int32_t next : mesh.beside[side]) {
        if (next >= 0 && mesh.triangles[static_cast<std::size_t>(next)].face == face &&
            seen.insert(next).second)
          front.push_back(next);
      }
    }
  }
  return sum == Vec3{} ? unit(cross(here.du, here.dv)) : unit(sum);
}

SurfacePoint Body::facet_at(const SurfaceSpot& s) const {
  return lastwright::facet_at(*this, s, nullptr);
}

Vec3 Body::facets_normal(const SurfaceSpot& s) const {
  return lastwright::facets_normal(*this, s, nullptr);
}

PlainMesh facet_mesh(const Body& body) {
  PlainMesh mesh;
  for (const MeshNode& n : body.mesh.nodes) mesh.points.push_back(n.point);
  for (const Triangle& t : body.mesh.triangles) mesh.triangles.push_back(t.node);
  return mesh;
}

Body facet_image(const Body& body, const SpaceMap& map, double& bow) {
  Body image = body;
  for (MeshNode& n : image.mesh.nodes) n.point = map(n.point);
  for (BodyEdge& edge : image.edges) {
    for (Vec3& p : edge.curve.poles) p = map(p);
  }
  bow = 0.0;
  for (const MeshSide& side : body.mesh.sides) {
    const Vec3 middle = lerp(body.mesh.nodes[side.a].point, body.mesh.nodes[side.b].point, 0.5);
    const double off =
        distance(map(middle), lerp(image.mesh.nodes[side.a].point, image.mesh.nodes[side.b].point, 0.5));
    if (!(off <= bow)) bow = off;
  }
  return image;
}

Result<Body> mesh_body(const PlainMesh& mesh) {
  if (const std::size_t open = open_sides(mesh); open > 0) {
    return Problem{Trouble::kGeometry,
                   "the mesh is not watertight: " + holes_of(mesh) + " (open sides of its triangles)",
                   {},
                   static_cast<double>(open),
                   0.0};
  }
  std::size_t count = 0;
  Result<PlainMesh> largest = largest_part(mesh, count);
  if (!largest) return largest.problem();
  PlainMesh& part = *largest;
  const bool inward = volume(part) < 0.0;
  if (inward) {
    for (auto& t : part.triangles) std::swap(t[1], t[2]);
  }
  Body body = body_of(part);
  if (count > 1)
    body.notes.push_back(fmt::format("the mesh has {} loose parts; the largest was taken", count));
  if (inward) body.notes.emplace_back("the triangles faced inward; they were reversed");
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

double roughness(const Body& body) {
  const Mesh& mesh = body.mesh;
  std::vector<Vec3> normal(mesh.nodes.size());
  for (const Triangle& t : mesh.triangles) {
    for (std::uint32_t n : t.node) normal[n] += area_of(mesh, t);
  }
  std::vector<double> count(mesh.nodes.size(), 0.0);
  std::vector<Vec3> around(mesh.nodes.size());
  for (const MeshSide& side : mesh.sides) {
    around[side.a] += mesh.nodes[side.b].point;
    around[side.b] += mesh.nodes[side.a].point;
    count[side.a] += 1.0;
    count[side.b] += 1.0;
  }
  std::vector<double> depth(mesh.nodes.size());  // below the mean of the neighbours
  for (std::size_t i = 0; i < depth.size(); ++i)
    depth[i] = dot(around[i] / count[i] - mesh.nodes[i].point, unit(normal[i]));
  std::vector<double> mean(mesh.nodes.size(), 0.0);
  for (const MeshSide& side : mesh.sides) {
    mean[side.a] += depth[side.b] / count[side.a];
    mean[side.b] += depth[side.a] / count[side.b];
  }
  std::vector<double> off;
  for (std::size_t i = 0; i < depth.size(); ++i) off.push_back(std::abs(depth[i] - mean[i]));
  if (off.empty()) return 0.0;
  // Of unconnected errors with six neighbours each: 1 + 6/6 - 4/18 + 5/72 times
  // their variance comes out (walks that return on a triangular lattice);
  // 0.6745 of the standard deviation is the median of what is normal.
  constexpr double kOfSixNeighbours = 1.359;
  constexpr double kMedian = 0.6745;
  return middle_value(std::move(off)) / (kMedian * kOfSixNeighbours);
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
