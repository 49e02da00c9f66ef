// Hulls and clipping against counting points.
#include "geometry/check/convex_region.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

Polygon cloud() {
  Polygon points;
  for (int i = *rc::gen::inRange(3, 12); i > 0; --i)
    points.push_back({*rc::gen::inRange(-500, 500) / 10.0, *rc::gen::inRange(-500, 500) / 10.0});
  return points;
}

bool inside(const Polygon& convex, Vec2 p, double slack) {
  for (std::size_t i = 0; i < convex.size(); ++i) {
    const Vec2 along = unit(convex[(i + 1) % convex.size()] - convex[i]);
    if (cross(along, p - convex[i]) < -slack) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("a hull is convex, of the points, and holds them all", "[hull]") {
  test::holds_for_all("convex_hull", [] {
    const Polygon points = cloud();
    const Polygon hull = convex_hull(points);
    RC_PRE(hull.size() >= 3);
    for (std::size_t i = 0; i < hull.size(); ++i) {
      const Vec2 next = hull[(i + 1) % hull.size()];
      RC_ASSERT(cross(next - hull[i], hull[(i + 2) % hull.size()] - next) > 0.0);
      RC_ASSERT(std::count(points.begin(), points.end(), hull[i]) > 0);
    }
    for (const Vec2 p : points) RC_ASSERT(inside(hull, p, 1e-9));
  });
}

TEST_CASE("a grown hull holds what is that near and nothing farther", "[hull]") {
  test::holds_for_all("grown_hull", [] {
    const Polygon points = cloud();
    const double by = *rc::gen::inRange(1, 300) / 10.0;
    const double turn = *rc::gen::inRange(0, 63) / 10.0;
    const Vec2 out{std::cos(turn), std::sin(turn)};
    const Vec2 farthest = *std::max_element(points.begin(), points.end(),
                                            [&](Vec2 a, Vec2 b) { return dot(a, out) < dot(b, out); });
    const Polygon grown = grown_hull(points, by);
    RC_ASSERT(inside(grown, farthest + 0.99 * by * out, 1e-9));
    RC_ASSERT(!inside(grown, farthest + 1.001 * by * out, 0.0));
  });
}

TEST_CASE("what is inside and what is outside make up the polygon", "[hull]") {
  test::holds_for_all("clipped", [] {
    // A comb, hollow on one side, and a half plane as a large square: both halves together are the whole.
    const double depth = *rc::gen::inRange(1, 90) / 10.0;
    const Polygon comb{{0, 0},           {30, 0},          {30, 10}, {20, 10},
                       {20, 10 - depth}, {10, 10 - depth}, {10, 10}, {0, 10}};
    const double turn = *rc::gen::inRange(0, 63) / 10.0;
    const Vec2 along{std::cos(turn), std::sin(turn)};
    const Vec2 at{*rc::gen::inRange(0, 300) / 10.0, *rc::gen::inRange(0, 100) / 10.0};
    const auto square = [&](Vec2 d) {
      return Polygon{at - 100 * d, at + 100 * d, at + 100 * d + 200 * left_of(d),
                     at - 100 * d + 200 * left_of(d)};
    };
    const double one = signed_area(clipped(comb, square(along)));
    const double other = signed_area(clipped(comb, square(-along)));
    RC_ASSERT(one >= 0.0);
    RC_ASSERT(other >= 0.0);
    RC_ASSERT(std::abs(one + other - (300.0 - 10.0 * depth)) < 1e-9);
  });
  const Polygon square{{0, 0}, {10, 0}, {10, 10}, {0, 10}};
  CHECK(signed_area(clipped(square, {{4, -1}, {20, -1}, {20, 5}, {4, 5}})) == Approx(30.0));
  CHECK(clipped(square, {{14, -1}, {20, -1}, {20, 5}, {14, 5}}).empty());
}
