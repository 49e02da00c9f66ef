#include "geometry/curve/spaced_points.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("points at equal lengths do not depend on parameters, cuts or direction", "[spaced points]") {
  const Vec2 a{155.922, -17.748};
  const Vec2 b{190.062, -0.669};
  const std::vector<Vec2> plain = spaced_points({Line{a, b}}, 9);
  const std::vector<Vec2> cut = spaced_points({Line{a, lerp(a, b, 0.37)}, Line{lerp(a, b, 0.37), b}}, 9);
  const Curve uneven = *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {a, lerp(a, b, 0.02), lerp(a, b, 0.3), b});
  const std::vector<Vec2> slow = spaced_points({uneven}, 9);
  // All of its speed at one end.
  const Curve still = *make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1}, {a, a, a, b});
  const std::vector<Vec2> late = spaced_points({still}, 9);
  const std::vector<Vec2> back = spaced_points({reversed(uneven)}, 9);
  REQUIRE(plain.size() == 10);
  for (std::size_t k = 0; k < plain.size(); ++k) {
    CAPTURE(k);
    CHECK(distance(plain[k], lerp(a, b, static_cast<double>(k) / 9)) < 1e-9);
    CHECK(distance(plain[k], cut[k]) < 1e-6);
    CHECK(distance(plain[k], slow[k]) < 1e-6);
    CHECK(distance(plain[k], late[k]) < 1e-6);
    CHECK(distance(plain[k], back[9 - k]) < 1e-6);
  }
}

TEST_CASE("points on an arc are equal turns apart", "[spaced points]") {
  const std::vector<Vec2> points = spaced_points({Arc{{10, 0}, {-10, 0}, 1.0}}, 6);
  for (std::size_t k = 0; k < points.size(); ++k)
    CHECK(distance(points[k], turned({10, 0}, static_cast<double>(k) * std::acos(-1.0) / 6)) < 1e-9);
}
