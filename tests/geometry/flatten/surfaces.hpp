// Pieces of known surfaces on grids, for the tests of flattening.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>

#include "geometry/flatten/flat_lines.hpp"
#include "geometry/flatten/grid_patch.hpp"

namespace lastwright::test {

// The image of [0, 1] x [0, 1] on columns x rows points.
inline GridPatch grid_of(std::uint32_t columns, std::uint32_t rows,
                         const std::function<Vec3(double, double)>& surface) {
  GridPatch grid{columns, rows, {}};
  for (std::uint32_t j = 0; j < rows; ++j) {
    for (std::uint32_t i = 0; i < columns; ++i) {
      grid.mesh.points.push_back(
          surface(static_cast<double>(i) / (columns - 1), static_cast<double>(j) / (rows - 1)));
    }
  }
  split_alike(grid, grid);
  return grid;
}

// The same as a four-sided piece of any triangles.
inline FourSides sides_of(const GridPatch& grid) {
  FourSides skin{grid.mesh, {}};
  for (std::size_t s = 0; s < 4; ++s) skin.sides[s] = grid.side(s);
  return skin;
}

inline FlatMesh flat_mesh(const GridPatch& grid) {
  return {grid.mesh.triangles, flat_corners(grid.mesh.points, grid.mesh.triangles)};
}

// A quarter of a cylinder of radius 30, 100 long.
inline Vec3 cylinder(double u, double v) {
  const double a = 1.5 * v;
  return {100.0 * u, 30.0 * std::cos(a), 30.0 * std::sin(a)};
}
// Between two rounds of a cone.
inline Vec3 cone(double u, double v) {
  const double r = 20.0 + 60.0 * u;
  const double a = 1.2 * v;
  return {r * std::cos(a), r * std::sin(a), 1.3 * r};
}
// A wavy saddle, as the throat of a last: no flat copy keeps its lengths.
inline Vec3 saddle(double u, double v) {
  const double x = 2.0 * u - 1.0;
  const double y = 2.0 * v - 1.0;
  return {60.0 * x, 40.0 * y, 14.0 * (x * x - y * y) + 2.0 * std::sin(3.0 * x)};
}
// The unit sphere round its pole out to an angle, corners cut square.
inline std::function<Vec3(double, double)> cap(double reach) {
  return [reach](double u, double v) {
    // The square on the disc (concentric rings), rings on rounds of the sphere.
    const double x = 2.0 * u - 1.0;
    const double y = 2.0 * v - 1.0;
    const double far = std::max(std::abs(x), std::abs(y));
    const double angle = std::abs(x) < 1e-12 && std::abs(y) < 1e-12 ? 0.0 : std::atan2(y, x);
    const double a = reach * far;
    return Vec3{std::sin(a) * std::cos(angle), std::sin(a) * std::sin(angle), std::cos(a)};
  };
}

}  // namespace lastwright::test
