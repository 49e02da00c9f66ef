#include "grading/lasts/bottom_marks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

#include "geometry/solid/mesh_parts.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

// Faces that run smoothly into each other make one group; its number for each face.
std::vector<int> groups_of(const Body& body) {
  constexpr double kSmooth = 0.45;  // radians: a feather edge has more than one
  std::vector<int> group(body.faces.size());
  for (std::size_t f = 0; f < group.size(); ++f) group[f] = static_cast<int>(f);
  std::vector<double> sharp(body.edges.size(), 0.0);
  std::vector<std::array<int, 2>> sides(body.edges.size(), {-1, -1});
  std::vector<Vec3> first(body.mesh.rims.size());
  for (const Triangle& t : body.mesh.triangles) {
    for (std::uint32_t side : t.side) {
      const int rim = body.mesh.sides[side].rim;
      if (rim < 0) continue;
      const auto edge = static_cast<std::size_t>(body.mesh.rims[static_cast<std::size_t>(rim)].edge);
      auto& pair = sides[edge];
      if (pair[0] < 0 || pair[0] == t.face) {
        pair[0] = t.face;
      } else {
        pair[1] = t.face;
      }
      const Vec3 n = unit(area_of(body.mesh, t));
      Vec3& other = first[static_cast<std::size_t>(rim)];
      if (other == Vec3{}) {
        other = n;
      } else {
        // The mean over the edge: at its ends, where edges meet, one facet says little.
        sharp[edge] += std::acos(std::clamp(dot(n, other), -1.0, 1.0));
      }
    }
  }
  std::vector<int> pieces(body.edges.size(), 0);
  for (const RimPiece& rim : body.mesh.rims) ++pieces[static_cast<std::size_t>(rim.edge)];
  const auto first_of = [&group](int f) {
    auto at = static_cast<std::size_t>(f);
    while (static_cast<std::size_t>(group[at]) != at) {
      group[at] = group[static_cast<std::size_t>(group[at])];
      at = static_cast<std::size_t>(group[at]);
    }
    return static_cast<int>(at);
  };
  for (std::size_t e = 0; e < sides.size(); ++e) {
    if (sides[e][1] < 0 || pieces[e] == 0 || sharp[e] / pieces[e] > kSmooth) continue;
    const int one = first_of(sides[e][0]);
    const int other = first_of(sides[e][1]);
    group[static_cast<std::size_t>(std::max(one, other))] = std::min(one, other);
  }
  for (std::size_t f = 0; f < group.size(); ++f) group[f] = first_of(static_cast<int>(f));
  return group;
}

// The largest connected part of the triangles that look down within 50 degrees.
void mark_looking_down(const Body& body, const LastAxes& axes, std::vector<int>& marks) {
  const Mesh& mesh = body.mesh;
  std::vector<int> down(mesh.triangles.size(), 0);
  for (std::size_t i = 0; i < down.size(); ++i) {
    const Vec3 area = area_of(mesh, mesh.triangles[i]);
    down[i] = dot(area, axes.up) < -0.64 * norm(area) ? 1 : 0;
  }
  const Parts parts = parts_of(mesh, neighbours_of(mesh), down);
  std::int32_t most = -1;
  for (std::size_t i = 0; i < down.size(); ++i) {
    if (down[i] == 1 && (most < 0 || parts.area[static_cast<std::size_t>(parts.of[i])] >
                                         parts.area[static_cast<std::size_t>(most)]))
      most = parts.of[i];
  }
  for (std::size_t i = 0; i < down.size(); ++i) {
    if (most >= 0 && parts.of[i] == most) marks[i] = 1;
  }
}

}  // namespace

std::vector<int> mark_bottom(const Body& body, const LastAxes& axes) {
  const Mesh& mesh = body.mesh;
  std::vector<int> marks(mesh.triangles.size(), 0);
  if (body.facets) {
    mark_looking_down(body, axes, marks);
    return marks;
  }
  if (body.roles_given) {
    for (std::size_t i = 0; i < marks.size(); ++i)
      marks[i] =
          body.faces[static_cast<std::size_t>(mesh.triangles[i].face)].role == FaceRole::kBottom ? 1 : 0;
    return marks;
  }
  struct Sum {
    Vec3 area;
    double total = 0.0;
    double low = std::numeric_limits<double>::infinity();
  };
  const std::vector<int> groups = groups_of(body);
  std::map<int, Sum> sums;
  double all = 0.0;
  double lowest = std::numeric_limits<double>::infinity();
  double highest = -lowest;
  for (const Triangle& t : mesh.triangles) {
    Sum& sum = sums[groups[static_cast<std::size_t>(t.face)]];
    const Vec3 area = area_of(mesh, t);
    sum.area += area;
    sum.total += norm(area);
    all += norm(area);
    for (std::uint32_t n : t.node) {
      const double z = dot(axes.up, mesh.nodes[n].point);
      sum.low = std::min(sum.low, z);
      lowest = std::min(lowest, z);
      highest = std::max(highest, z);
    }
  }
  std::map<int, int> kind;
  bool any = false;
  for (const auto& [group, sum] : sums) {
    const double up = dot(sum.area, axes.up) / std::max(sum.total, 1e-12);
    // Seat, shank and tread of a high heel look 40 degrees apart;
    // a bottom that goes over into the upper looks everywhere.
    if (up < -0.7 && sum.total > 0.02 * all && sum.total < 0.5 * all) {
      kind[group] = 1;
      any = true;
    } else if (up > 0.9 && norm(sum.area) > 0.999 * sum.total &&
               sum.low > lowest + 0.4 * (highest - lowest)) {
      kind[group] = 2;
    }
  }
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const auto found = kind.find(groups[static_cast<std::size_t>(mesh.triangles[i].face)]);
    marks[i] = found == kind.end() ? 0 : found->second;
  }
  if (!any) mark_looking_down(body, axes, marks);
  return marks;
}

}  // namespace lastwright
