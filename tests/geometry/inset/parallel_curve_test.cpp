// Parallels of curves against their definition, and back again.
#include "geometry/inset/parallel_curve.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/curve/nearest.hpp"
#include "geometry/inset/long_curve.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// A cubic with one interior knot that bends both ways, its radii above 20 mm or so.
rc::Gen<Curve> splines() {
  return rc::gen::exec([] {
    std::vector<Vec2> poles;
    for (int i = 0; i < 5; ++i)
      poles.push_back({40.0 * i + *rc::gen::inRange(-80, 80) / 10.0, *rc::gen::inRange(-100, 100) / 10.0});
    return Curve(*make_spline(3, {0, 0, 0, 0, 0.4, 1, 1, 1, 1}, poles));
  });
}

}  // namespace

TEST_CASE("a parallel stands off its curve by the distance all along", "[inset]") {
  test::holds_for_all("parallel of a spline", [] {
    const Curve curve = *splines();
    const double left = *rc::gen::element(-12.0, -3.0, 0.5, 7.0);
    const Result<Curve> beside = parallel_curve(curve, Millimetres(left));
    RC_PRE(beside.ok());
    for (int i = 0; i <= 50; ++i) {
      const double t = i / 50.0;
      const Vec2 p = point_at(*beside, t);
      const NearestPoint foot = nearest(curve, p);
      RC_ASSERT(std::abs(foot.distance - std::abs(left)) < 2e-6);
      RC_ASSERT((cross(tangent_at(curve, foot.t), p - foot.at) > 0.0) == (left > 0.0));
    }
    const Result<Curve> back = parallel_curve(*beside, Millimetres(-left));
    RC_ASSERT(back.ok());
    for (int i = 0; i <= 50; ++i) RC_ASSERT(nearest(curve, point_at(*back, i / 50.0)).distance < 3e-6);
  });
}

TEST_CASE("lines and arcs have parallels of their own kind", "[inset]") {
  const Result<Curve> line = parallel_curve(Line{{0, 0}, {10, 0}}, Millimetres(4.0));
  REQUIRE(line.ok());
  CHECK(start_of(*line) == Vec2{0, 4});
  CHECK(end_of(*line) == Vec2{10, 4});
  const Curve half = Arc{{10, 0}, {-10, 0}, 1.0};  // counter-clockwise about the origin
  const Result<Curve> inside = parallel_curve(half, Millimetres(4.0));
  REQUIRE(inside.ok());
  CHECK(distance(start_of(*inside), {6, 0}) < 1e-12);
  CHECK(std::get<Arc>(*inside).segment().radius() == Approx(6.0));
  const Result<Curve> none = parallel_curve(half, Millimetres(10.0));
  REQUIRE_FALSE(none.ok());
  CHECK(none.problem().limit == Approx(10.0));
  const Curve bowl = *make_spline(2, {0, 0, 0, 1, 1, 1}, {{-10, 10}, {0, -10}, {10, 10}});  // y = x^2 / 10
  const Result<Curve> tight = parallel_curve(bowl, Millimetres(5.5));
  REQUIRE_FALSE(tight.ok());
  CHECK(*tight.problem().limit == Approx(5.0).margin(0.1));  // the radius at the bottom is 5
  CHECK(parallel_curve(bowl, Millimetres(4.9)).ok());
}

TEST_CASE("a spline is cut where its tangent jumps", "[inset]") {
  const Curve kinked = *make_spline(1, {0, 0, 0.5, 1, 1}, {{0, 0}, {10, 0}, {10, 10}});
  const std::vector<Curve> parts = smooth_parts(kinked);
  REQUIRE(parts.size() == 2);
  CHECK(end_of(parts[0]) == Vec2{10, 0});
  CHECK(smooth_parts(Line{{0, 0}, {1, 1}}).size() == 1);
}

TEST_CASE("curves run on with the curvature that they end with", "[inset]") {
  // A quarter of a circle of 50 mm as a spline runs on along that circle.
  const Curve quarter = *ellipse_arc({0, 0}, {50, 0}, 1.0, Radians(0.0), Radians(0.5 * std::numbers::pi));
  const LongCurve runs(quarter, 30.0);
  const LongCurve wall(Line{{-20, 0}, {-20, 100}}, 0.0);
  const std::vector<LongCrossing> met = crossings(runs, wall);
  REQUIRE(met.size() == 1);
  CHECK(met[0].on_one.part == 2);
  CHECK(distance(met[0].on_one.at, {-20, std::sqrt(2100.0)}) < 1e-8);
  CHECK(runs.position(met[0].on_one) == Approx(50.0 * (0.5 * std::numbers::pi + std::asin(0.4))));
  // Led to a point off the circle it ends there, and leaves the spline with its direction.
  LongCurve led(quarter, 30.0);
  led.run_on_to({-20, 46});
  const std::vector<Curve> all = led.between(led.start(), {2, 1.0, {-20, 46}});
  REQUIRE(all.size() == 2);
  CHECK(end_of(all[1]) == Vec2{-20, 46});
  CHECK(std::abs(cross(tangent_at(all[0], 1.0), tangent_at(all[1], 0.0))) < 1e-9);
}
