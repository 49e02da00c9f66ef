#include "geometry/flatten/square_map.hpp"

#include <catch2/catch.hpp>

#include "geometry/flatten/cut_mesh.hpp"
#include "tests/geometry/flatten/surfaces.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("a flat rectangle keeps its places on the square", "[flatten]") {
  const GridPatch grid = grid_of(13, 7, [](double u, double v) { return Vec3{80.0 * u, 30.0 * v, 0.0}; });
  const Result<SquareMap> map = map_to_square(sides_of(grid));
  REQUIRE(map.ok());
  for (std::uint32_t j = 0; j < 7; ++j) {
    for (std::uint32_t i = 0; i < 13; ++i) {
      const Vec2 at = map->uv[grid.node(i, j)];
      CHECK(at.x == Approx(i / 12.0).margin(1e-12));
      CHECK(at.y == Approx(j / 6.0).margin(1e-12));
    }
  }
}

TEST_CASE("a grid through the square lies on the surface, its sides on the surface's", "[flatten]") {
  const GridPatch fine = grid_of(61, 41, cone);
  const Result<SquareMap> map = map_to_square(sides_of(fine));
  REQUIRE(map.ok());
  const Result<GridPatch> grid = sample_grid(*map, 21, 11);
  REQUIRE(grid.ok());
  for (Vec3 p : grid->mesh.points) CHECK(std::abs(std::hypot(p.x, p.y) - p.z / 1.3) < 0.05);
  for (std::size_t s = 0; s < 4; ++s) {
    CHECK(length_of(grid->mesh.points, grid->side(s)) ==
          Approx(length_of(fine.mesh.points, fine.side(s))).epsilon(1e-3));
  }
}

TEST_CASE("a side of the mesh between two points of one side of the square is split, not pressed flat",
          "[flatten]") {
  // The triangle at the low side has all corners on it.
  FourSides skin;
  skin.mesh.points = {{0, 0, 0}, {1, -0.2, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}};
  skin.mesh.triangles = {{0, 1, 2}, {0, 2, 3}, {0, 3, 4}};
  skin.sides = {{{0, 1, 2}, {2, 3}, {4, 3}, {0, 4}}};
  const Result<SquareMap> map = map_to_square(skin);
  REQUIRE(map.ok());
  CHECK(map->skin.mesh.points.size() == 6);
  CHECK(map->skin.mesh.triangles.size() == 5);
}

TEST_CASE("a surface with a piece missing in its middle gives no grid", "[flatten]") {
  GridPatch grid = grid_of(21, 21, saddle);
  std::erase_if(grid.mesh.triangles, [&](const Corners& t) {
    const Vec3 p = grid.mesh.points[t[0]];
    return std::hypot(p.x, p.y) < 12.0;
  });
  std::vector<std::uint32_t> kept;
  const SkinMesh left = largest_part(grid.mesh, kept);
  CHECK(left.points.size() < grid.mesh.points.size());
  CHECK(boundary_loops(left.triangles).size() == 2);
  std::vector<std::uint32_t> now(grid.mesh.points.size(), 0U);
  for (std::uint32_t i = 0; i < kept.size(); ++i) now[kept[i]] = i;
  FourSides skin{left, {}};
  for (std::size_t s = 0; s < 4; ++s) {
    for (std::uint32_t i : grid.side(s)) skin.sides[s].push_back(now[i]);
  }
  const Result<SquareMap> map = map_to_square(skin);
  // The rim of the hole is free: whether that folds or not, no grid comes of it.
  if (map.ok()) CHECK(!sample_grid(*map, 41, 41).ok());
}

TEST_CASE("both sides of a cut share its points and have the whole area", "[flatten]") {
  const GridPatch grid = grid_of(31, 21, saddle);
  const auto area = [](const SkinMesh& mesh) {
    double sum = 0.0;
    for (const Corners& t : mesh.triangles) {
      const Vec3 a = mesh.points[t[0]];
      sum += 0.5 * norm(cross(mesh.points[t[1]] - a, mesh.points[t[2]] - a));
    }
    return sum;
  };
  // Through rows of points too: nothing without area comes out.
  for (const double at : {0.0, 3.3, -20.0}) {
    const auto height = [at](Vec3 p) { return p.x - at; };
    const CutMesh right = cut_mesh(grid.mesh, height, true);
    const CutMesh left = cut_mesh(grid.mesh, height, false);
    CHECK(area(right.mesh) + area(left.mesh) == Approx(area(grid.mesh)).epsilon(1e-6));
    CHECK(boundary_loops(right.mesh.triangles).size() == 1);
    CHECK(boundary_loops(left.mesh.triangles).size() == 1);
    std::vector<Vec3> ours;
    for (std::size_t i = 0; i < right.on_cut.size(); ++i) {
      if (right.on_cut[i]) ours.push_back(right.mesh.points[i]);
    }
    std::size_t shared = 0;
    for (std::size_t i = 0; i < left.on_cut.size(); ++i) {
      shared += left.on_cut[i] && std::find(ours.begin(), ours.end(), left.mesh.points[i]) != ours.end();
    }
    CHECK(ours.size() >= 21);
    CHECK(shared == ours.size());
  }
}
