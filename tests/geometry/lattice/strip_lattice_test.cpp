#include "geometry/lattice/strip_lattice.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace lastwright {

namespace {

LatticeShape shape_of(const Polygon& polygon) {
  ClosedArcPath path;
  for (const Vec2 p : polygon) path.vertices.push_back({p, 0.0});
  const Result<LatticeShape> shape = lattice_shape(path, Millimetres(0.02));
  REQUIRE(shape.ok());
  return *shape;
}

}  // namespace

// By hand: rectangles of 30 x 20 in a strip of 65 lie in three rows; right triangles of 40 x 30 pair up to
// rectangles, so a strip of 61 holds two rows of each and takes 10 mm a triangle.
TEST_CASE("rows of rectangles and triangles fill a strip as counted by hand", "[lattice]") {
  const StripLay boxes =
      densest_in_strip(shape_of({{0, 0}, {30, 0}, {30, 20}, {0, 20}}), {LatticeKind::kTranslated}, {65.0});
  CHECK(boxes.rows.size() == 3);
  CHECK(boxes.length_per_shape() == Approx(10.0).epsilon(1e-6));
  const LatticeShape triangle = shape_of({{0, 0}, {40, 0}, {0, 30}});
  const StripLay pairs = densest_in_strip(triangle, {LatticeKind::kHalfTurned}, {61.0});
  CHECK(pairs.rows.size() == 4);
  CHECK(pairs.length_per_shape() == Approx(10.0).epsilon(1e-6));
  // A sheet of 61 x 85 holds two such rectangles in each of two rows.
  CHECK(shapes_in_sheet(pairs, triangle, 85.0) == 8);
}

TEST_CASE("rows lie within the strip and free of overlap", "[lattice]") {
  const LatticeShape shape = shape_of({{0, 0}, {70, 5}, {64, 40}, {40, 30}, {20, 48}, {-6, 36}});
  for (const double width : {60.0, 100.0, 333.0}) {
    const StripLay lay = densest_in_strip(shape, {LatticeKind::kHalfTurned, LatticeKind::kMirrored}, {width});
    REQUIRE(!lay.rows.empty());
    CHECK(lay.lattice.a.y == Approx(0.0).margin(1e-12));
    CHECK(shared_area(lay.lattice, shape.parts, second_parts(shape.parts, lay.kind)) < 1e-6 * shape.area);
    for (const StripRow& row : lay.rows) CHECK(std::abs(row.y) + 24.0 <= 0.5 * width + 1e-6);
    CHECK(lay.length_per_shape() * width >= shape.area);
  }
  CHECK(densest_in_strip(shape, {LatticeKind::kTranslated}, {40.0}).rows.empty());
}

}  // namespace lastwright
