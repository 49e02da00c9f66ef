#include "geometry/flatten/flat_lines.hpp"

#include <catch2/catch.hpp>

#include "tests/geometry/flatten/surfaces.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("arcs through points of a circle are that circle", "[flatten]") {
  std::vector<Vec2> points;
  for (const double a : {0.0, 0.3, 0.4, 0.9, 1.3, 1.7})
    points.push_back({20.0 * std::cos(a), 20.0 * std::sin(a)});
  const OpenArcPath path = smooth_through(points);
  CHECK(length(path) == Approx(34.0).epsilon(1e-9));
  for (const Vec2 p : flattened(path, Millimetres(0.1))) CHECK(norm(p) == Approx(20.0).margin(0.11));
}

TEST_CASE("the zeros of a plane over a cylinder are as long as its section", "[flatten]") {
  const GridPatch grid = grid_of(81, 61, cylinder);
  const FlatMesh mesh = flat_mesh(grid);
  std::vector<double> height;
  for (Vec3 p : grid.mesh.points) height.push_back(p.x - 0.5 * p.z - 20.0);
  const HeldLine line = zero_line(mesh, height, grid.side(0));
  REQUIRE(line.places.size() > 30);
  double walked = 0.0;
  for (double step : line.steps) walked += step;
  // Unrolled the section is x = 20 + 15 sin(s / 30).
  double exact = 0.0;
  for (int i = 0; i < 4500; ++i) {
    const double s = 0.01 * (i + 0.5);
    exact += 0.01 * std::hypot(1.0, 0.5 * std::cos(s / 30.0));
  }
  CHECK(walked == Approx(exact).epsilon(2e-4));
  for (const LinePlace& p : line.places) {
    const Vec3 at = place_at(grid.mesh.points, p);
    CHECK(at.x - 0.5 * at.z == Approx(20.0).margin(1e-9));
  }
  CHECK(place_at(grid.mesh.points, line.places.back()).z == Approx(30.0 * std::sin(1.5)));
  CHECK(zero_line(mesh, std::vector<double>(height.size(), 1.0), grid.side(0)).places.empty());
}
