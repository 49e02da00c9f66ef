#include "geometry/solid/mesh_sag.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace lastwright {
namespace {

// Radians: where triangles meet more sharply the surface has an edge, or the mesh is torn. 4 mm triangles on
// a toe of 15 mm meet by 0.2.
constexpr double kEdge = 0.35;

struct Side {
  std::uint64_t ends = 0;  // the smaller corner first
  std::uint32_t triangle = 0;
  std::uint32_t across = 0;  // the corner that it does not touch
};

std::vector<Side> sides_of(const PlainMesh& mesh) {
  std::vector<Side> sides;
  sides.reserve(3 * mesh.triangles.size());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const auto& corners = mesh.triangles[t];
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint64_t a = corners[k];
      const std::uint64_t b = corners[(k + 1) % 3];
      sides.push_back({std::min(a, b) << 32U | std::max(a, b), t, corners[(k + 2) % 3]});
    }
  }
  std::sort(sides.begin(), sides.end(), [](const Side& a, const Side& b) {
    return std::pair(a.ends, a.triangle) < std::pair(b.ends, b.triangle);
  });
  return sides;
}

}  // namespace

double mean_sag(const PlainMesh& mesh) {
  const std::vector<Side> sides = sides_of(mesh);
  const auto square = [&](std::uint32_t t) {  // normal of a triangle, twice its area long
    const auto& c = mesh.triangles[t];
    return cross(mesh.points[c[1]] - mesh.points[c[0]], mesh.points[c[2]] - mesh.points[c[0]]);
  };
  double sum = 0.0;
  double all = 0.0;
  for (std::size_t i = 0; i + 1 < sides.size(); ++i) {
    if (sides[i].ends != sides[i + 1].ends) continue;
    const Vec3 a = mesh.points[static_cast<std::uint32_t>(sides[i].ends >> 32U)];
    const Vec3 b = mesh.points[static_cast<std::uint32_t>(sides[i].ends)];
    const Vec3 one = square(sides[i].triangle);
    const Vec3 other = square(sides[i + 1].triangle);
    const double length = norm(b - a);
    const double twice = norm(one) + norm(other);
    if (length <= 0.0 || norm(one) <= 0.0 || norm(other) <= 0.0) continue;
    const double angle = std::atan2(norm(cross(one, other)), dot(one, other));
    if (angle > kEdge) continue;
    const bool bulges = dot(one, mesh.points[sides[i + 1].across] - a) < 0.0;
    const double width = 0.5 * twice / length;
    sum += twice * width * (bulges ? angle : -angle) / 4.0;
    all += twice;
  }
  return all > 0.0 ? std::max(0.0, sum / all) : 0.0;
}

}  // namespace lastwright
