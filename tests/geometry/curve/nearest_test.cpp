#include "geometry/curve/nearest.hpp"

#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("the nearest point of lines and arcs is by formula", "[nearest]") {
  const NearestPoint on_line = nearest(Line{{0, 0}, {10, 0}}, {3, 4});
  CHECK(on_line.at == Vec2{3, 0});
  CHECK(on_line.distance == 4.0);
  CHECK(nearest(Line{{0, 0}, {10, 0}}, {13, 4}).distance == 5.0);
  const NearestPoint on_arc = nearest(Arc{{1, 0}, {-1, 0}, 1.0}, {0, 3});
  CHECK(on_arc.at.x == Approx(0.0).margin(1e-12));
  CHECK(on_arc.at.y == Approx(1.0));
}

TEST_CASE("no sampled point of a spline is nearer than the nearest", "[nearest]") {
  test::holds_for_all("no point of the curve is nearer than the nearest one", [] {
    std::vector<Vec2> poles;
    for (int i = 0; i < 7; ++i)
      poles.push_back({*rc::gen::inRange(-1000, 1000) / 10.0, *rc::gen::inRange(-1000, 1000) / 10.0});
    const auto spline = make_spline(3, {0, 0, 0, 0, 0.25, 0.5, 0.75, 1, 1, 1, 1}, poles);
    RC_ASSERT(spline.ok());
    const Curve curve = *spline;
    const Vec2 p{*rc::gen::inRange(-1500, 1500) / 10.0, *rc::gen::inRange(-1500, 1500) / 10.0};
    const NearestPoint found = nearest(curve, p);
    RC_ASSERT(std::abs(distance(point_at(curve, found.t), p) - found.distance) < 1e-9);
    for (int i = 0; i <= 5000; ++i)
      RC_ASSERT(distance(point_at(curve, i / 5000.0), p) >= found.distance - 1e-9);
  });
}
