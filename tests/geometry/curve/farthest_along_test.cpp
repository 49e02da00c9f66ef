// The farthest place of a curve against places all along it.
#include "geometry/curve/farthest_along.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("the farthest place of lines and arcs is by formula", "[farthest]") {
  CHECK(farthest_along(Line{{0, 0}, {10, 5}}, {0, 1}) == Vec2{10, 5});
  CHECK(farthest_along(Line{{0, 0}, {10, 5}}, {0, -1}) == Vec2{0, 0});
  const Vec2 top = farthest_along(Arc{{5, 0}, {-5, 0}, 1.0}, unit({3, 4}));
  CHECK(distance(top, {3, 4}) < 1e-12);
  CHECK(farthest_along(Arc{{5, 0}, {-5, 0}, 1.0}, {0, -1}) == Vec2{5, 0});  // the first of two
}

TEST_CASE("no place of a curve lies farther than the farthest, which lies on it", "[farthest][law]") {
  test::holds_for_all("the farthest place", [] {
    const double angle = *rc::gen::inRange(0, 360) * std::numbers::pi / 180.0;
    const Vec2 way{std::cos(angle), std::sin(angle)};
    const auto place = [] {
      return Vec2{*rc::gen::inRange(-1000, 1000) / 10.0, *rc::gen::inRange(-1000, 1000) / 10.0};
    };
    std::vector<Vec2> poles;
    for (int i = 0; i < 7; ++i) poles.push_back(place());
    const auto spline = make_spline(3, {0, 0, 0, 0, 0.25, 0.5, 0.75, 1, 1, 1, 1}, poles);
    RC_ASSERT(spline.ok());
    const Vec2 from = place();
    const Curve curves[] = {
        *spline, Arc{from, from + Vec2{3.0, 7.0}, *rc::gen::element(-1.0, -0.3, -1e-4, 1e-4, 0.3, 1.0)}};
    for (const Curve& curve : curves) {
      const Vec2 found = farthest_along(curve, way);
      double farthest = -INFINITY;
      double off = INFINITY;
      for (int i = 0; i <= 2000; ++i) {
        const Vec2 p = point_at(curve, i / 2000.0);
        farthest = std::max(farthest, dot(p, way));
        off = std::min(off, distance(p, found));
      }
      RC_ASSERT(dot(found, way) >= farthest - 1e-8);
      RC_ASSERT(off < 1.0);  // between two of the places
    }
  });
}
