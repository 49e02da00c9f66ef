// Prints a wavy saddle of uneven triangles, its map to the square and its flat copy, for check_flat.py.
#include <fmt/format.h>

#include "geometry/flatten/conformal.hpp"
#include "geometry/flatten/flatten.hpp"
#include "geometry/flatten/square_map.hpp"
#include "tests/geometry/flatten/surfaces.hpp"

using namespace lastwright;

int main() {
  // Columns and rows of uneven width; a corner cut off by the mesh's own triangles stays as it is.
  const GridPatch grid = test::grid_of(17, 13, [](double u, double v) {
    return test::saddle(u * u * (2.0 - u), v + 0.12 * std::sin(6.0 * v + 2.0 * u) * v * (1.0 - v));
  });
  const Result<SquareMap> map = map_to_square(test::sides_of(grid));
  const FlatMesh mesh = test::flat_mesh(grid);
  const Result<std::vector<Vec2>> start =
      conformal_copy(mesh, grid.mesh.points.size(), grid.node(0, 0), grid.node(16, 0));
  if (!map || !start) return 1;
  FlattenOptions options;
  options.settled = 1e-10;
  const Result<Flattened> flat = flatten(mesh, {}, *start, options);
  if (!flat) return 1;
  for (std::size_t i = 0; i < grid.mesh.points.size(); ++i) {
    const Vec3 p = grid.mesh.points[i];
    fmt::print("point {:.17g} {:.17g} {:.17g} {:.17g} {:.17g} {:.17g} {:.17g} {:.17g} {:.17g}\n", p.x, p.y,
               p.z, map->uv[i].x, map->uv[i].y, (*start)[i].x, (*start)[i].y, flat->points[i].x,
               flat->points[i].y);
  }
  for (const Corners& t : grid.mesh.triangles) fmt::print("triangle {} {} {}\n", t[0], t[1], t[2]);
  for (std::size_t s = 0; s < 4; ++s) {
    fmt::print("side");
    for (std::uint32_t i : grid.side(s)) fmt::print(" {}", i);
    fmt::print("\n");
  }
  return 0;
}
