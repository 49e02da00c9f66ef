#include "geometry/flatten/stretch.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

double LocalStretch::worst() const {
  return std::max(std::abs(most - 1.0), std::abs(least - 1.0));
}

LocalStretch stretch_of(const FlatCorners& shape, Vec2 a, Vec2 b, Vec2 c) {
  // The map's matrix M with M (q1 - q0) = b - a and M (q2 - q0) = c - a.
  const Vec2 p = shape[1] - shape[0];
  const Vec2 q = shape[2] - shape[0];
  const double d = cross(p, q);
  const Vec2 x = (q.y * (b - a) - p.y * (c - a)) / d;
  const Vec2 y = (p.x * (c - a) - q.x * (b - a)) / d;
  // Singular values from the parts of M that turn and that mirror.
  const double turns = 0.5 * std::hypot(x.x + y.y, x.y - y.x);
  const double mirrors = 0.5 * std::hypot(x.x - y.y, x.y + y.x);
  return {turns + mirrors, turns - mirrors};
}

StretchFigures stretch_figures(const FlatMesh& mesh, const std::vector<Vec2>& flat,
                               const std::vector<bool>& counts) {
  StretchFigures figures;
  std::vector<std::pair<double, double>> found;  // stretch, area
  for (std::size_t n = 0; n < mesh.triangles.size(); ++n) {
    if (!counts.empty() && !counts[n]) continue;
    const Corners& t = mesh.triangles[n];
    const FlatCorners& q = mesh.shapes[n];
    const double area = 0.5 * cross(q[1] - q[0], q[2] - q[0]);
    found.emplace_back(stretch_of(q, flat[t[0]], flat[t[1]], flat[t[2]]).worst(), area);
    figures.surface += area;
    figures.flat += 0.5 * cross(flat[t[1]] - flat[t[0]], flat[t[2]] - flat[t[0]]);
  }
  std::sort(found.begin(), found.end());
  double covered = 0.0;
  for (const auto& [stretch, area] : found) {
    if (covered < 0.5 * figures.surface) figures.middle = stretch;
    if (covered < 0.95 * figures.surface) figures.high = stretch;
    covered += area;
  }
  if (!found.empty()) figures.worst = found.back().first;
  return figures;
}

}  // namespace lastwright
