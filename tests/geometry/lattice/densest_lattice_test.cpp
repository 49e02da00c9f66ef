// Densest lattices against the published densities, theorems, and laws over random shapes.
#include "geometry/lattice/densest_lattice.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/lattice/convex_lattice.hpp"
#include "geometry/lattice/convex_parts.hpp"
#include "geometry/lattice/lattice_seeds.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

ClosedArcPath path_of(const Polygon& polygon) {
  ClosedArcPath path;
  for (const Vec2 p : polygon) path.vertices.push_back({p, 0.0});
  return path;
}

Polygon regular(int corners, double turn = 0.1) {
  Polygon polygon;
  for (int k = 0; k < corners; ++k) {
    const double angle = turn + 2.0 * std::numbers::pi * k / corners;
    polygon.push_back(50.0 * Vec2{std::cos(angle), std::sin(angle)});
  }
  return polygon;
}

FoundLattice found(const Polygon& polygon, LatticeKind kind) {
  const Result<LatticeShape> shape = lattice_shape(path_of(polygon), Millimetres(0.02));
  REQUIRE(shape.ok());
  const FoundLattice lattice = densest_lattice(*shape, kind);
  CHECK(lattice.overlap <= 1e-6 * shape->area);
  CHECK(lattice.per_shape >= lattice.least * (1.0 - 1e-9));
  return lattice;
}

double p1(const Polygon& polygon) {
  return found(polygon, LatticeKind::kTranslated).density;
}
double p2(const Polygon& polygon) {
  return found(polygon, LatticeKind::kHalfTurned).density;
}

}  // namespace

// Sources: (5 - sqrt 5) / 3 for the pentagon and 0.8926 for the heptagon, Kuperberg and Kuperberg 1990; the
// others by formula (octagon (4 + 4 sqrt 2) / (5 + 4 sqrt 2), 12-gon 4 sqrt 3 - 6).
TEST_CASE("regular polygons pack as densely as published", "[lattice]") {
  CHECK(p1(regular(3)) == Approx(2.0 / 3.0).margin(1e-9));
  CHECK(p2(regular(3)) == Approx(1.0).margin(1e-9));
  CHECK(p1(regular(5)) == Approx(0.8172560).margin(1e-6));
  CHECK(p2(regular(5)) == Approx((5.0 - std::sqrt(5.0)) / 3.0).margin(1e-9));
  CHECK(p1(regular(7)) == Approx(0.860191).margin(1e-6));
  CHECK(p2(regular(7)) == Approx(0.89269069).margin(1e-6));
  CHECK(p1(regular(8)) == Approx((4.0 + 4.0 * std::sqrt(2.0)) / (5.0 + 4.0 * std::sqrt(2.0))).margin(1e-9));
  CHECK(p2(regular(8)) == Approx(0.9061636786).margin(1e-9));
  CHECK(p1(regular(10)) == Approx(0.91371999).margin(1e-8));
  CHECK(p2(regular(10)) == Approx(0.91371999).margin(1e-8));
  CHECK(p1(regular(12)) == Approx(4.0 * std::sqrt(3.0) - 6.0).margin(1e-9));
  CHECK(p2(regular(12)) == Approx(4.0 * std::sqrt(3.0) - 6.0).margin(1e-9));
}

TEST_CASE("a disc packs as densely as the hexagonal lattice", "[lattice]") {
  ClosedArcPath disc;
  disc.vertices = {{{-100.0, 3.0}, 1.0}, {{100.0, 3.0}, 1.0}};
  const Result<LatticeShape> shape = lattice_shape(disc, Millimetres(1e-4));
  REQUIRE(shape.ok());
  for (const LatticeKind kind : {LatticeKind::kTranslated, LatticeKind::kHalfTurned}) {
    const FoundLattice lattice = densest_lattice(*shape, kind);
    CHECK(lattice.exact);
    CHECK(lattice.density == Approx(0.9068996821).margin(1e-6));
    CHECK(lattice.density < 0.9068996821);  // of the disc; the polygon round it is larger
  }
}

TEST_CASE("shapes that tile half turned are found to", "[lattice]") {
  // L and T of four squares.
  CHECK(p2({{0, 0}, {40, 0}, {40, 20}, {20, 20}, {20, 60}, {0, 60}}) == Approx(1.0).margin(1e-6));
  CHECK(p2({{0, 0}, {60, 0}, {60, 20}, {40, 20}, {40, 40}, {20, 40}, {20, 20}, {0, 20}}) ==
        Approx(1.0).margin(1e-6));
  // A slanted quadrilateral, a dart.
  CHECK(p2({{0, 0}, {70, 10}, {50, 60}, {-10, 35}}) == Approx(1.0).margin(1e-9));
  CHECK(p2({{0, 0}, {70, -20}, {20, 5}, {10, 60}}) == Approx(1.0).margin(1e-6));
}

// Random polygons with corners at whole tenths of a millimetre, so that the smallest case found is readable.
rc::Gen<Polygon> star_polygons(int least, int most, int nearest) {
  return rc::gen::exec([=] {
    const int corners = *rc::gen::inRange(least, most + 1);
    Polygon polygon;
    for (int k = 0; k < corners; ++k) {
      const double angle = 2.0 * std::numbers::pi * (k + 0.01 * *rc::gen::inRange(0, 80)) / corners;
      polygon.push_back(0.1 * *rc::gen::inRange(nearest, 600) * Vec2{std::cos(angle), std::sin(angle)});
    }
    return polygon;
  });
}

bool sound(const Polygon& polygon) {
  if (polygon.size() < 3 || signed_area(polygon) < 100.0) return false;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    if (distance(polygon[i], polygon[(i + 1) % polygon.size()]) < 1.0) return false;
  }
  return true;
}

TEST_CASE("convex shapes keep to the theorems", "[lattice]") {
  test::holds_for_all("p2 >= sqrt(3)/2, p1 >= 2/3, p2 >= p1, nothing overlaps, affine maps change nothing",
                      [] {
                        const Polygon shape = convex_hull(*star_polygons(4, 12, 200));
                        RC_PRE(sound(shape));
                        const double one = p1(shape);
                        const double two = p2(shape);
                        RC_ASSERT(one >= 2.0 / 3.0 - 1e-9);
                        RC_ASSERT(two >= std::sqrt(3.0) / 2.0 - 1e-9);
                        RC_ASSERT(two >= one - 1e-9);
                        RC_ASSERT(two <= 1.0 + 1e-9);
                        Polygon sheared;
                        for (const Vec2 p : shape)
                          sheared.push_back({1.3 * p.x + 0.7 * p.y, 0.8 * p.y - 0.1 * p.x});
                        RC_ASSERT(std::abs(p1(sheared) - one) < 1e-9);
                        RC_ASSERT(std::abs(p2(sheared) - two) < 1e-9);
                      });
}

// The formula against the search, which shares nothing with it but the shape.
TEST_CASE("no search betters the theorem for convex shapes", "[lattice]") {
  test::holds_for_all(
      "the exact cell is no larger than any that is polished",
      [] {
        const Polygon shape = convex_hull(*star_polygons(4, 9, 200));
        RC_PRE(sound(shape));
        const std::vector<Polygon> parts{shape};
        const SumObstacle same(parts, parts);
        const SumObstacle mixed(parts, {half_turned(shape)});
        const Lattice one = densest_convex_translates(shape);
        const Lattice two = densest_convex_half_turned(shape);
        const PolishOptions options{.first_step = 1.0, .last_step = 1e-5};
        RC_ASSERT(polish(one, {&same, nullptr, nullptr}, options).area >= one.cell_area() * (1.0 - 1e-9));
        RC_ASSERT(polish(two, {&same, nullptr, &mixed}, options).area >= two.cell_area() * (1.0 - 1e-9));
        for (const Lattice& seed : lattice_seeds(
                 {&same, nullptr, &mixed},
                 {.least_area = 1.9 * signed_area(shape), .most = 4, .cells = 48, .edge_points = 48})) {
          const Polished found = polish(seed, {&same, nullptr, &mixed}, options);
          RC_ASSERT(found.depth > 1e-7 || found.area >= two.cell_area() * (1.0 - 1e-9));
        }
      },
      40);
}

TEST_CASE("quadrilaterals tile half turned, dents or not", "[lattice]") {
  test::holds_for_all(
      "p2 of a quadrilateral is 1",
      [] {
        const Polygon shape = *star_polygons(4, 4, 120);
        RC_PRE(sound(shape));
        RC_ASSERT(p2(shape) >= 1.0 - 1e-6);
      },
      60);
}

// The contacts of the search are half planes of convex parts; the overlap is found by clipping those parts.
TEST_CASE("no two shapes of a lattice overlap, whatever the shape and the kind", "[lattice]") {
  test::holds_for_all(
      "shared area 0; half turned no less dense than translated and than the hull",
      [] {
        const Polygon shape = *star_polygons(5, 9, 100);
        RC_PRE(sound(shape));
        const Result<LatticeShape> ready = lattice_shape(path_of(shape), Millimetres(0.02));
        RC_PRE(ready.ok());
        double density = 0.0;
        for (const LatticeKind kind : kLatticeKinds) {
          const FoundLattice lattice = densest_lattice(*ready, kind);
          RC_ASSERT(lattice.overlap <= 1e-6 * ready->area);
          RC_ASSERT(lattice.density <= 1.0 + 1e-9);
          RC_ASSERT(lattice.per_shape >= lattice.least * (1.0 - 1e-9));
          RC_ASSERT(std::abs(lattice.lattice.cell_area() - lattice.per_shape * lattice.lattice.shapes()) <
                    1e-6);
          if (kind == LatticeKind::kHalfTurned) {
            const FoundLattice translated = densest_lattice(*ready, LatticeKind::kTranslated);
            RC_ASSERT(lattice.density >= translated.density * (1.0 - 1e-3));
            const double hull = signed_area(convex_hull(shape));
            RC_ASSERT(lattice.density >= std::sqrt(3.0) / 2.0 * ready->area / hull - 1e-9);
          }
          density = std::max(density, lattice.density);
        }
        RC_ASSERT(density > 0.5);
      },
      40);
}

// A trap: neighbours counted in a slanted basis. Of this lattice of squares the basis is so slanted that the
// nearest neighbours are many steps away.
TEST_CASE("overlap is seen whatever the basis", "[lattice]") {
  const std::vector<Polygon> square{{{-10, -10}, {10, -10}, {10, 10}, {-10, 10}}};
  const Lattice close{{19.0, 0.0}, {19.0 * 57.0, 21.0}, {}};
  CHECK(shared_area(close, square, {}) == Approx(20.0));
  const Lattice apart{{20.0, 0.0}, {20.0 * 57.0, 20.0}, {}};
  CHECK(shared_area(apart, square, {}) == Approx(0.0).margin(1e-9));
}

TEST_CASE("a polygon round an outline holds it closely", "[lattice]") {
  ClosedArcPath path;
  path.vertices = {{{0, 0}, 0.2}, {{60, 0}, -0.3}, {{80, 50}, 0.0}, {{30, 45}, 0.6}, {{0, 40}, 0.0}};
  const Result<LatticeShape> shape = lattice_shape(path, Millimetres(0.05));
  REQUIRE(shape.ok());
  const double around = signed_area(shape->polygon);
  CHECK(around > signed_area(path));
  CHECK(around < signed_area(path) + 0.05 * length(path));
  for (const Vec2 p : flattened(path, Millimetres(1e-4))) {
    double inside = -1.0;
    for (const Polygon& part : shape->parts) {
      double least = 1e9;
      for (std::size_t i = 0; i < part.size(); ++i) {
        const Vec2 along = unit(part[(i + 1) % part.size()] - part[i]);
        least = std::min(least, cross(along, p - shape->middle - part[i]));
      }
      inside = std::max(inside, least);
    }
    CHECK(inside >= -1e-9);
  }
}

}  // namespace lastwright
