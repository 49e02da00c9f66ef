#include "geometry/curve/biarc.hpp"

#include <catch2/catch.hpp>
#include <numbers>

#include "geometry/curve/spline.hpp"
#include "geometry/tolerance.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

Vec2 direction(double angle) {
  return {std::cos(angle), std::sin(angle)};
}

// Tangents, ends and the joint are what was asked for.
void require_hermite(const Biarc& fit, Vec2 p0, Vec2 t0, Vec2 p1, Vec2 t1, double slack) {
  CHECK(fit.first.a == p0);
  CHECK(fit.second.b == p1);
  CHECK(fit.first.b == fit.second.a);
  CHECK(distance(fit.first.tangent_at(0), t0) < slack);
  CHECK(distance(fit.second.tangent_at(1), t1) < slack);
  CHECK(distance(fit.first.tangent_at(1), fit.second.tangent_at(0)) < slack);
}

Spline wavy() {
  return *make_spline(3, {0, 0, 0, 0, 0.2, 0.55, 0.7, 1, 1, 1, 1},
                      {{0, 0}, {10, 25}, {30, -20}, {45, 30}, {60, 5}, {80, 12}, {95, -8}});
}

// The plain way: halve until the biarc fits. Returns its number of segments.
int by_bisection(const Curve& curve, double from, double to, double tolerance) {
  const Biarc fit =
      biarc(point_at(curve, from), tangent_at(curve, from), point_at(curve, to), tangent_at(curve, to));
  double worst = 0;
  for (int i = 1; i < 32; ++i) {
    const Vec2 p = point_at(curve, from + (to - from) * i / 32);
    worst = std::max(worst, std::min(fit.first.distance_to(p), fit.second.distance_to(p)));
  }
  if (worst <= tolerance) return 2;
  const double middle = 0.5 * (from + to);
  return by_bisection(curve, from, middle, tolerance) + by_bisection(curve, middle, to, tolerance);
}

double worst_of(const Curve& curve, const OpenArcPath& path) {
  double worst = 0;
  for (int i = 0; i <= 4000; ++i) worst = std::max(worst, distance_to(path, point_at(curve, i / 4000.0)));
  return worst;
}

double largest_kink(const OpenArcPath& path) {
  double worst = 0;
  for (std::size_t i = 1; i < path.size(); ++i) {
    worst = std::max(worst, distance(path.segment(i - 1).tangent_at(1), path.segment(i).tangent_at(0)));
  }
  return worst;
}

}  // namespace

TEST_CASE("a biarc takes up any end directions", "[biarc]") {
  test::holds_for_all("both end directions are met and the joint is smooth", [] {
    const auto angle = [] { return *rc::gen::inRange(-3141, 3142) / 1000.0; };
    const Vec2 t0 = direction(angle());
    const Vec2 t1 = direction(angle());
    const Vec2 p0{*rc::gen::inRange(-500, 500) / 1.0, *rc::gen::inRange(-500, 500) / 1.0};
    const Vec2 p1 = p0 + (1.0 + *rc::gen::inRange(0, 5000) / 10.0) * direction(angle());
    // Backward and almost parallel at both ends: the arcs are almost full circles and lose digits.
    RC_PRE(dot(t0, p1 - p0) > -0.95 * distance(p0, p1) || dot(t1, p1 - p0) > -0.95 * distance(p0, p1));
    const Biarc fit = biarc(p0, t0, p1, t1);
    RC_ASSERT(distance(fit.first.tangent_at(0), t0) < 1e-7);
    RC_ASSERT(distance(fit.second.tangent_at(1), t1) < 1e-7);
    RC_ASSERT(distance(fit.first.tangent_at(1), fit.second.tangent_at(0)) < 1e-7);
  });
}

TEST_CASE("the hard cases of a biarc are exact", "[biarc]") {
  SECTION("straight") {
    const Biarc fit = biarc({1, 2}, {1, 0}, {101, 2}, {1, 0});
    CHECK(fit.first.straight());
    CHECK(fit.second.straight());
  }
  SECTION("S with parallel ends") {
    const Vec2 t = direction(0.4);
    require_hermite(biarc({0, 0}, t, {30, 0}, t), {0, 0}, t, {30, 0}, t, 1e-14);
  }
  SECTION("parallel ends square to the chord: two half circles") {
    const Biarc fit = biarc({0, 0}, {0, 1}, {8, 0}, {0, 1});
    require_hermite(fit, {0, 0}, {0, 1}, {8, 0}, {0, 1}, 1e-14);
    CHECK(fit.first.radius() == Approx(2.0));
  }
  SECTION("one circle") {
    const Biarc fit = biarc({5, 0}, {0, 1}, {0, 5}, {-1, 0});
    require_hermite(fit, {5, 0}, {0, 1}, {0, 5}, {-1, 0}, 1e-14);
    CHECK(fit.first.radius() == Approx(5.0).epsilon(1e-14));
    CHECK(fit.second.radius() == Approx(5.0).epsilon(1e-14));
  }
  SECTION("a turn of a millionth keeps its digits") {
    const Vec2 t0 = direction(-5e-7);
    const Vec2 t1 = direction(5e-7);
    const Biarc fit = biarc({0, 0}, t0, {100, 0}, t1);
    require_hermite(fit, {0, 0}, t0, {100, 0}, t1, 1e-15);
    CHECK(fit.first.sweep() + fit.second.sweep() == Approx(1e-6).epsilon(1e-9));
  }
}

TEST_CASE("an arc fit stays within its tolerance, without kinks, with fewer segments than bisection",
          "[arc_fit]") {
  const Spline ellipse = *ellipse_arc({0, 0}, {120, 40}, 0.35, Radians(0.1), Radians(5.9));
  for (const Curve& curve : {Curve(wavy()), Curve(ellipse)}) {
    for (double tolerance : {0.1, 0.01, 0.001}) {
      const OpenArcPath path = arc_fit(curve, Millimetres(tolerance));
      CHECK(worst_of(curve, path) <= tolerance);
      CHECK(largest_kink(path) < 1e-9);
      CHECK(path.vertices.front().at == start_of(curve));
      CHECK(path.vertices.back().at == end_of(curve));
      const int plain = by_bisection(curve, 0, 1, tolerance);
      CHECK(static_cast<int>(path.size()) <= plain);
      UNSCOPED_INFO("segments " << path.size() << " against " << plain);
      double shortest = 1e9;
      for (std::size_t i = 0; i < path.size(); ++i) shortest = std::min(shortest, path.segment(i).length());
      CHECK(shortest > tolerance::kShortestSegment.value());
    }
  }
}

TEST_CASE("lines and arcs pass an arc fit unchanged, corners stay", "[arc_fit]") {
  const Result<ClosedOutline> outline = make_closed_outline(
      {{Line{{0, 0}, {30, 0}}, Arc{{30, 0}, {30, 10}, 1.0}, Line{{30, 10}, {0, 10}}, Line{{0, 10}, {0, 0}}}},
      Millimetres(0.01));
  const ClosedArcPath path = arc_fit(*outline, tolerance::kArcFit);
  REQUIRE(path.size() == 4);
  CHECK(path.vertices[1] == ArcVertex{{30, 0}, 1.0});
  // A knot of full multiplicity with a corner in it.
  const Spline cornered =
      *make_spline(2, {0, 0, 0, 0.5, 0.5, 1, 1, 1}, {{0, 0}, {10, 8}, {20, 0}, {30, 9}, {40, 0}});
  const OpenArcPath fitted = arc_fit(Curve(cornered), tolerance::kArcFit);
  CHECK(distance_to(fitted, {20, 0}) < 1e-12);
  CHECK(worst_of(cornered, fitted) < 0.01);
  CHECK(largest_kink(fitted) ==
        Approx(distance(tangent_at(part_of(Curve(cornered), 0, 0.5), 1), tangent_at(cornered, 0.5))));
}

TEST_CASE("a spline with a cusp or without speed at its ends is still fitted", "[arc_fit]") {
  const Spline cusp = *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {{0, 0}, {30, 20}, {0, 20}, {30, 0}});
  CHECK(worst_of(cusp, arc_fit(Curve(cusp), tolerance::kArcFit)) <= 0.01);
  const Spline stall = *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {{0, 0}, {0, 0}, {30, 5}, {30, 5}});
  CHECK(arc_fit(Curve(stall), tolerance::kArcFit).size() <= 2);
}
