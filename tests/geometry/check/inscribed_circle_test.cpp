#include "geometry/check/inscribed_circle.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/blob.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// Two equal arcs over a chord along x, each with this bulge; `parts` pieces an arc, which changes nothing.
ClosedArcPath lens(double chord, double bulge, int parts) {
  ClosedArcPath path;
  const double share = std::tan(std::atan(bulge) / parts);
  for (const double turn : {1.0, -1.0}) {
    const ArcSegment whole{{-turn * 0.5 * chord, 0.0}, {turn * 0.5 * chord, 0.0}, bulge};
    for (int k = 0; k < parts; ++k)
      path.vertices.push_back({whole.point_at(static_cast<double>(k) / parts), share});
  }
  return path;
}

}  // namespace

TEST_CASE("a lens is as wide as twice the bow of its arcs, however they are cut up", "[inscribed]") {
  for (const double bulge : {0.1, 0.25, 0.6}) {
    for (const int parts : {1, 2, 5}) {
      const InscribedCircle circle = largest_inscribed_circle(lens(8.0, bulge, parts));
      CHECK(circle.radius == Approx(0.5 * bulge * 8.0).margin(1e-3));
      CHECK(norm(circle.centre) < 0.1);
    }
  }
}

TEST_CASE("circles inside boxes, triangles and slots are those of a geometry book", "[inscribed]") {
  CHECK(largest_inscribed_circle({{{{0, 0}}, {{30, 0}}, {{30, 4}}, {{0, 4}}}}).radius ==
        Approx(2.0).margin(1e-3));
  CHECK(largest_inscribed_circle({{{{0, 0}}, {{4, 0}}, {{0, 3}}}}).radius == Approx(1.0).margin(1e-3));
  CHECK(largest_inscribed_circle({{{{0, 0}, 1.0}, {{7, 0}, 1.0}}}).radius == Approx(3.5).margin(1e-3));
  CHECK(largest_inscribed_circle({}).radius == 0.0);
}

TEST_CASE("no point of a dense grid lies deeper, and the circle lies inside", "[inscribed]") {
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const ClosedArcPath path = blob(seed, 12, 30.0);
    const InscribedCircle circle = largest_inscribed_circle(path, Millimetres(0.01));
    CHECK(contains(path, circle.centre));
    CHECK(distance_to(path, circle.centre) == Approx(circle.radius).margin(1e-9));
    const Box2 box = bounds(path);
    double deepest = 0.0;
    for (int i = 1; i < 60; ++i) {
      for (int j = 1; j < 60; ++j) {
        const Vec2 p{box.low.x + box.width() * i / 60.0, box.low.y + box.height() * j / 60.0};
        if (contains(path, p)) deepest = std::max(deepest, distance_to(path, p));
      }
    }
    CHECK(circle.radius >= deepest - 0.01);
  }
}
