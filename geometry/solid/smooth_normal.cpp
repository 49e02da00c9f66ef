#include "geometry/solid/smooth_normal.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <unordered_set>
#include <vector>

#include "geometry/solid/mesh_body.hpp"

namespace lastwright {

namespace {

constexpr int kTerms = 10;             // of a polynomial of the third degree in two variables
constexpr std::size_t kEnough = 24;    // corners: noise is averaged, and rows of corners are no surface
constexpr double kFarthestLean = 0.1;  // radians from the mean: beyond it the corners fix no surface

// The corners of the face that hang together around a place, within a reach.
std::vector<Vec3> corners_around(const Body& body, const SurfaceSpot& spot, const SpaceMap* map, Vec3 here,
                                 double reach) {
  const Mesh& mesh = body.mesh;
  const auto first = static_cast<std::int32_t>(
      std::min(static_cast<std::size_t>(std::max(0.0, spot.u)), mesh.triangles.size() - 1));
  const std::int32_t face = mesh.triangles[static_cast<std::size_t>(first)].face;
  std::unordered_set<std::int32_t> seen{first};
  std::vector<std::int32_t> front{first};
  std::unordered_set<std::uint32_t> taken;
  std::vector<Vec3> corners;
  for (std::size_t i = 0; i < front.size(); ++i) {
    const Triangle& t = mesh.triangles[static_cast<std::size_t>(front[i])];
    bool near = i == 0;
    for (const std::uint32_t n : t.node) {
      const Vec3 p = map ? (*map)(mesh.nodes[n].point) : mesh.nodes[n].point;
      if (!(distance(p, here) < reach)) continue;
      near = true;
      if (taken.insert(n).second) corners.push_back(p);
    }
    if (!near) continue;
    for (const std::uint32_t side : t.side) {
      for (const std::int32_t next : mesh.beside[side]) {
        if (next >= 0 && mesh.triangles[static_cast<std::size_t>(next)].face == face &&
            seen.insert(next).second)
          front.push_back(next);
      }
    }
  }
  return corners;
}

}  // namespace

Vec3 smooth_normal(const Body& body, const SurfaceSpot& spot, const SpaceMap* map) {
  const Vec3 mean = facets_normal(body, spot, map);
  const Vec3 here = facet_at(body, spot, map).p;
  std::vector<Vec3> corners;
  double reach = 0.0;
  for (const double wide : {6.0, 9.0, 13.0}) {  // mm
    reach = wide;
    corners = corners_around(body, spot, map, here, reach);
    if (corners.size() >= kEnough) break;
  }
  if (corners.size() < kEnough) return mean;
  const Vec3 e1 = unit(cross(mean, std::abs(mean.x) < 0.6 ? Vec3{1, 0, 0} : Vec3{0, 1, 0}));
  const Vec3 e2 = cross(mean, e1);
  // Heights over the plane square to the mean, each weighed by a bell that ends at the reach.
  Eigen::MatrixXd rows(static_cast<Eigen::Index>(corners.size()), kTerms);
  Eigen::VectorXd heights(rows.rows());
  for (Eigen::Index i = 0; i < rows.rows(); ++i) {
    const Vec3 way = (corners[static_cast<std::size_t>(i)] - here) / reach;
    const double bell = 1.0 - dot(way, way);
    const double x = dot(way, e1);
    const double y = dot(way, e2);
    rows.row(i) << 1.0, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y;
    rows.row(i) *= bell;
    heights(i) = bell * dot(way, mean);
  }
  Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> solved;
  solved.setThreshold(1e-3);  // corners in few rows: terms that they do not tell apart are shared
  solved.compute(rows);
  const Eigen::VectorXd terms = solved.solve(heights);
  if (!(std::hypot(terms(1), terms(2)) < kFarthestLean)) return mean;
  return unit(mean - terms(1) * e1 - terms(2) * e2);
}

}  // namespace lastwright
