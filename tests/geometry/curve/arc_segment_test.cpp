#include "geometry/curve/arc_segment.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/curve/arc_path.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

TEST_CASE("a half circle has the textbook radius, length and area", "[arc]") {
  const ArcSegment half{{-2, 0}, {2, 0}, 1.0};  // turns left: the bow hangs below the chord
  CHECK(half.radius() == Approx(2.0));
  CHECK(half.length() == Approx(2.0 * std::numbers::pi));
  CHECK(half.bow_area() == Approx(2.0 * std::numbers::pi));
  CHECK(half.point_at(0.5).y == Approx(-2.0));
  CHECK(half.bounds().low.y == Approx(-2.0));
  CHECK(half.bounds().high.y == Approx(0.0).margin(1e-12));
}

TEST_CASE("points of an arc keep their distance from its centre, tangents are square to the radius",
          "[arc]") {
  for (double bulge : {-2.5, -1.0, -0.3, -1e-3, 1e-3, 0.2, 0.9, 1.7}) {
    const ArcSegment s{{1.5, -0.5}, {7.25, 3.0}, bulge};
    for (double t : {0.1, 0.37, 0.5, 0.81}) {
      const Vec2 p = s.point_at(t);
      CHECK(distance(p, s.centre()) == Approx(s.radius()).epsilon(1e-10));
      CHECK(std::abs(dot(s.tangent_at(t), p - s.centre())) < 1e-9 * s.radius());
      CHECK(s.distance_to(p) < 1e-9);
      const ArcSegment first = s.part(0.0, t);
      const ArcSegment second = s.part(t, 1.0);
      CHECK(first.length() + second.length() == Approx(s.length()).epsilon(1e-10));
    }
  }
}

TEST_CASE("length and bow area are the textbook's for flat and full arcs", "[arc]") {
  // With long double the textbook formulas lose nothing that matters down to bulges of 1e-4.
  for (double bulge : {1e-4, 3e-3, 0.05, 0.0999, 0.1, 0.1001, 0.3, 0.9, 1.0, 2.0, 8.0, -0.02, -0.1, -0.7}) {
    const ArcSegment s{{1.5, -0.5}, {7.25, 3.0}, bulge};
    INFO("bulge " << bulge);
    const long double chord = std::hypot(5.75L, 3.5L);
    const long double b = bulge;
    const long double sweep = 4.0L * std::atan(b);
    const long double radius = chord * (1.0L + b * b) / (4.0L * std::abs(b));
    const long double area = 0.5L * radius * radius * (sweep - std::sin(sweep));
    CHECK(s.length() == Approx(static_cast<double>(radius * std::abs(sweep))).epsilon(1e-14));
    CHECK(s.bow_area() == Approx(static_cast<double>(area)).epsilon(std::abs(bulge) < 1e-2 ? 1e-10 : 2e-14));
  }
  CHECK(ArcSegment{{0, 0}, {3, 4}, 0.0}.length() == 5.0);
  CHECK(ArcSegment{{0, 0}, {3, 4}, 0.0}.bow_area() == 0.0);
  CHECK(ArcSegment{{0, 0}, {3, 4}, 1e-12}.bow_area() == Approx(25.0 * 1e-12 / 3.0).epsilon(1e-14));
}

TEST_CASE("the box of an arc is the one of its finely divided points", "[arc]") {
  for (double bulge : {-2.0, -0.6, -0.4, -0.05, 0.01, 0.2, 0.39, 0.42, 1.0}) {
    for (int turn = 0; turn < 24; ++turn) {
      const Vec2 chord = turned({3.0, 0.0}, turn * std::numbers::pi / 12.0);
      const ArcSegment s{{1, 2}, Vec2{1, 2} + chord, bulge};
      INFO("bulge " << bulge << ", chord turned by " << 15 * turn);
      Box2 points;
      for (int i = 0; i <= 2000; ++i) points.add(s.point_at(i / 2000.0));
      const Box2 box = s.bounds();
      CHECK(std::abs(box.low.x - points.low.x) < 1e-5);
      CHECK(std::abs(box.low.y - points.low.y) < 1e-5);
      CHECK(std::abs(box.high.x - points.high.x) < 1e-5);
      CHECK(std::abs(box.high.y - points.high.y) < 1e-5);
    }
  }
}

TEST_CASE("an arc from a start tangent leaves along it and ends where asked", "[arc]") {
  const ArcSegment s = arc_from_tangent({0, 0}, {0, 1}, {3, 3});
  CHECK(s.tangent_at(0.0).y == Approx(1.0));
  CHECK(s.radius() == Approx(3.0));
  CHECK(s.sweep() == Approx(-std::numbers::pi / 2));
}

TEST_CASE("a circle of two bows contains its inside only", "[arc_path]") {
  const ClosedArcPath circle{{{{-1, 0}, 1.0}, {{1, 0}, 1.0}}};
  CHECK(signed_area(circle) == Approx(std::numbers::pi));
  CHECK(contains(circle, {0.0, 0.99}));
  CHECK(contains(circle, {0.0, -0.99}));
  CHECK_FALSE(contains(circle, {0.8, 0.8}));
  CHECK(signed_area(reversed(circle)) == Approx(-std::numbers::pi));
}

TEST_CASE("the winding rule holds for bows of more than half a turn and for hollow ones", "[arc_path]") {
  const ClosedArcPath keyhole{{{{0, 0}, 3.0}, {{1, 0}, 0.0}, {{1, 2}, 0.0}, {{0, 2}, -0.4}}};
  const Box2 box = bounds(keyhole);
  int wrong = 0;
  // Counted against a fine polygon of the same outline.
  const std::vector<Vec2> polygon = flattened(keyhole, Millimetres(1e-5));
  for (int i = 0; i < 60; ++i) {
    for (int j = 0; j < 60; ++j) {
      const Vec2 p{box.low.x + box.width() * (i + 0.37) / 60, box.low.y + box.height() * (j + 0.41) / 60};
      if (distance_to(keyhole, p) < 1e-3) continue;
      int winding = 0;
      for (std::size_t k = 0; k < polygon.size(); ++k) {
        const Vec2 a = polygon[k];
        const Vec2 b = polygon[(k + 1) % polygon.size()];
        if (a.y <= p.y && b.y > p.y && cross(b - a, p - a) > 0) ++winding;
        if (a.y > p.y && b.y <= p.y && cross(b - a, p - a) < 0) --winding;
      }
      wrong += (winding != 0) != contains(keyhole, p);
    }
  }
  CHECK(wrong == 0);
}

TEST_CASE("the winding number knows the side of an arc that is almost straight", "[arc_path]") {
  for (const double radius : {1e5, 1e7, 1e9, 1e11}) {
    const double bow = 100.0 * 100.0 / (8.0 * radius);
    for (const double side : {1.0, -1.0}) {
      // The lower edge of a box bows out or in.
      const ClosedArcPath path{
          {{{0, 0}, side * 2.0 * bow / 100.0}, {{100, 0}, 0}, {{100, 40}, 0}, {{0, 40}, 0}}};
      for (const double share : {0.1, 0.3, 0.5, 0.8}) {
        const double x = 100.0 * share;
        const double y = -side * 4.0 * bow * share * (1.0 - share);
        const double aside = 0.01 * bow;
        CAPTURE(radius, side, share);
        CHECK(winding_number(path, {x, y + aside}) == 1);
        CHECK(winding_number(path, {x, y - aside}) == 0);
      }
    }
  }
}

TEST_CASE("the parameter of the nearest point is that of the angle, to the last digit", "[arc]") {
  // The definition: the angle of p seen from the centre over the sweep, the nearer end where that lies
  // beyond.
  const auto by_angle = [](const ArcSegment& s, Vec2 p) {
    const double across = s.curvature() * dot(s.start_tangent(), p - s.a);
    const double down = 1.0 - s.curvature() * dot(left_of(s.start_tangent()), p - s.a);
    const double end = distance(p, s.a) <= distance(p, s.b) ? 0.0 : 1.0;
    if (across == 0.0 && down == 0.0) return end;
    double t = std::atan2(across, down) / s.sweep();
    if (t < 0.0) t += 2.0 * std::numbers::pi / std::abs(s.sweep());
    return t <= 1.0 ? t : end;
  };
  test::Dice dice(5);
  int within = 0;
  int asked = 0;
  for (int round = 0; round < 4000; ++round) {
    const double size = std::pow(10.0, dice(-6.0, 0.5));
    const ArcSegment s{
        {dice(-9, 9), dice(-9, 9)}, {dice(-9, 9), dice(-9, 9)}, dice(-1, 1) < 0 ? -size : size};
    // Anywhere, and on or beside the normals at its ends, where the sides meet.
    const Vec2 beside = dice(-20, 20) * left_of(s.end_tangent()) + dice(-1e-9, 1e-9) * s.end_tangent();
    const Vec2 at_start = s.a + dice(-9, 9) * left_of(s.start_tangent());
    for (const Vec2 p : {Vec2{dice(-20, 20), dice(-20, 20)}, s.b + beside, at_start, s.a, s.b}) {
      const double t = s.nearest(p);
      ++asked;
      if (t > 0.0 && t < 1.0) ++within;
      if (t != by_angle(s, p)) FAIL("bulge " << s.bulge << ", p " << p.x << ", " << p.y << ": " << t);
    }
  }
  CHECK(within > asked / 20);
  CHECK(within < asked / 2);
}
