#include "geometry/flatten/skin_mesh.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

FlatCorners flat_corners(double ab, double bc, double ca) {
  const double x = ab > 0.0 ? (ab * ab + ca * ca - bc * bc) / (2.0 * ab) : 0.0;
  return {Vec2{0.0, 0.0}, Vec2{ab, 0.0}, Vec2{x, std::sqrt(std::max(0.0, ca * ca - x * x))}};
}

FlatCorners flat_corners(Vec3 a, Vec3 b, Vec3 c) {
  // The height by the cross product keeps its digits in slivers, which the lengths alone would lose.
  const double ab = distance(a, b);
  if (!(ab > 0.0)) return {Vec2{}, Vec2{}, Vec2{0.0, distance(a, c)}};
  return {Vec2{}, Vec2{ab, 0.0}, Vec2{dot(b - a, c - a) / ab, norm(cross(b - a, c - a)) / ab}};
}

std::vector<FlatCorners> flat_corners(const std::vector<Vec3>& points,
                                      const std::vector<Corners>& triangles) {
  std::vector<FlatCorners> result;
  result.reserve(triangles.size());
  for (const Corners& t : triangles) result.push_back(flat_corners(points[t[0]], points[t[1]], points[t[2]]));
  return result;
}

std::vector<FlatCorners> mean_corners(const std::vector<Vec3>& one, const std::vector<Vec3>& other,
                                      const std::vector<Corners>& triangles) {
  const auto mean = [&](std::uint32_t a, std::uint32_t b) {
    return 0.5 * (distance(one[a], one[b]) + distance(other[a], other[b]));
  };
  std::vector<FlatCorners> result;
  result.reserve(triangles.size());
  for (const Corners& t : triangles)
    result.push_back(flat_corners(mean(t[0], t[1]), mean(t[1], t[2]), mean(t[2], t[0])));
  return result;
}

double length_of(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& chain) {
  double length = 0.0;
  for (std::size_t i = 1; i < chain.size(); ++i) length += distance(points[chain[i - 1]], points[chain[i]]);
  return length;
}

}  // namespace lastwright
