#include "geometry/curve/intersect.hpp"

#include <catch2/catch.hpp>

#include <numbers>

#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

// Distance from the line or circle that carries a segment, with a sign for its side.
double side_of(const ArcSegment& segment, Vec2 p) {
  if (segment.straight()) return cross(unit(segment.b - segment.a), p - segment.a);
  return distance(p, segment.centre()) - segment.radius();
}

// Where `one` changes its side of `two` between two of its parameters.
double passing(const ArcSegment& one, const ArcSegment& two, double low, double high) {
  const bool below = side_of(two, one.point_at(low)) < 0.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    ((side_of(two, one.point_at(middle)) < 0.0) == below ? low : high) = middle;
  }
  return high;
}

}  // namespace

TEST_CASE("segments meet where plane geometry says", "[intersect]") {
  const ArcSegment line{{-10, 3}, {10, 3}, 0.0};
  const ArcSegment upper{{5, 0}, {-5, 0}, 1.0};  // half circle of radius 5 above the x axis
  SECTION("line and circle: 3-4-5") {
    const Contacts found = contacts(line, upper, 1e-6);
    REQUIRE(found.count == 2);
    CHECK(std::abs(found.all[0].at.x) == Approx(4.0).epsilon(1e-14));
    CHECK(found.all[0].at.y == Approx(3.0).epsilon(1e-14));
    CHECK(distance(upper.point_at(found.all[0].on_two), found.all[0].at) < 1e-12);
  }
  SECTION("two circles: 3-4-5 again") {
    const Contacts found =
        contacts(upper, ArcSegment{{11, 0}, {1, 0}, 1.0}, 1e-6);  // centre (6, 0), radius 5
    REQUIRE(found.count == 1);
    CHECK(distance(found.all[0].at, {3, 4}) < 1e-13);
  }
  SECTION("crossing lines") {
    const Contacts found = contacts(line, ArcSegment{{0, 0}, {2, 6}, 0.0}, 1e-6);
    REQUIRE(found.count == 1);
    CHECK(distance(found.all[0].at, {1, 3}) < 1e-14);
  }
  SECTION("beyond the ends is no contact") {
    CHECK(contacts(ArcSegment{{-10, 3}, {-4.1, 3}, 0.0}, upper, 1e-6).count == 0);
    CHECK(contacts(line, ArcSegment{{5, 0}, {-5, 0}, -1.0}, 1e-6).count == 0);
  }
}

TEST_CASE("tangency is found from both sides of a rounding error", "[intersect]") {
  const ArcSegment upper{{5, 0}, {-5, 0}, 1.0};
  for (double lift : {-1e-9, 0.0, 1e-9, 5e-7}) {
    INFO(lift);
    const Contacts flat = contacts(ArcSegment{{-10, 5 + lift}, {10, 5 + lift}, 0.0}, upper, 1e-6);
    REQUIRE(flat.count >= 1);
    CHECK(distance(flat.all[0].at, {0, 5}) < 1e-3);
    // A circle of radius 2 standing on the top.
    const Contacts ball = contacts(ArcSegment{{-2, 7 + lift}, {2, 7 + lift}, 1.0}, upper, 1e-6);
    REQUIRE(ball.count >= 1);
    CHECK(distance(ball.all[0].at, {0, 5}) < 1e-3);
  }
  CHECK(contacts(ArcSegment{{-10, 5 + 2e-6}, {10, 5 + 2e-6}, 0.0}, upper, 1e-6).count == 0);
}

TEST_CASE("shared stretches give their ends", "[intersect]") {
  const ArcSegment upper{{5, 0}, {-5, 0}, 1.0};
  const Contacts arcs = contacts(upper, upper.part(0.25, 0.5), 1e-6);
  CHECK(arcs.count == 2);
  const Contacts lines = contacts(ArcSegment{{0, 0}, {10, 0}, 0.0}, ArcSegment{{14, 0}, {6, 0}, 0.0}, 1e-6);
  REQUIRE(lines.count == 2);
  for (const Contact& c : lines) CHECK((c.at.x == Approx(6.0) || c.at.x == Approx(10.0)));
  CHECK(contacts(ArcSegment{{0, 0}, {10, 0}, 0.0}, ArcSegment{{0, 1}, {10, 1}, 0.0}, 1e-6).count == 0);
  CHECK(contacts(upper, ArcSegment{{4, 0}, {-4, 0}, 1.0}, 1e-6).count == 0);  // concentric
}

TEST_CASE("an arc that is almost straight meets as the line it almost is", "[intersect]") {
  const ArcSegment almost{{-50, 0}, {50, 0}, 1e-9};
  const Contacts found = contacts(almost, ArcSegment{{7, -5}, {9, 5}, 0.0}, 1e-6);
  REQUIRE(found.count == 1);
  CHECK(distance(found.all[0].at, {8, 0}) < 1e-6);
}

TEST_CASE("every contact lies on both segments, and a dense search finds no other", "[intersect]") {
  test::holds_for_all("each contact is on both segments and none is missing", [] {
    const auto number = [](int range) { return *rc::gen::inRange(-range, range + 1) / 100.0; };
    const auto segment = [&] {
      return ArcSegment{{number(1000), number(1000)}, {number(1000), number(1000)}, number(150)};
    };
    const ArcSegment one = segment();
    const ArcSegment two = segment();
    RC_PRE(one.chord() > 0.1 && two.chord() > 0.1);
    const Contacts found = contacts(one, two, 1e-6);
    for (const Contact& c : found) {
      RC_ASSERT(one.distance_to(c.at) < 2e-6);
      RC_ASSERT(two.distance_to(c.at) < 2e-6);
    }
    // Where the one passes from one side of the other's line or circle to the other side, and that on the
    // other itself, there is a contact.
    double from = 0.0;
    for (int i = 1; i <= 400; ++i) {
      const double to = i / 400.0;
      if ((side_of(two, one.point_at(from)) < 0.0) != (side_of(two, one.point_at(to)) < 0.0)) {
        const Vec2 p = one.point_at(passing(one, two, from, to));
        RC_ASSERT(two.distance_to(p) > 1e-9 || std::any_of(found.begin(), found.end(), [&](const Contact& c) {
                    return distance(c.at, p) < 1e-5;
                  }));
      }
      from = to;
    }
  });
}

TEST_CASE("neighbours meet again only where they really do", "[intersect]") {
  const ArcSegment bow{{0, 0}, {10, 0}, -1.0};
  CHECK(neighbour_contacts(bow, ArcSegment{{10, 0}, {20, 0}, 1.0}, 1e-6).count == 0);  // a smooth S
  CHECK(neighbour_contacts(bow, ArcSegment{{10, 0}, {10, -5}, 0.0}, 1e-6).count == 0);
  const Contacts again = neighbour_contacts(bow, ArcSegment{{10, 0}, {0, 8}, 0.0}, 1e-6);
  REQUIRE(again.count == 1);
  CHECK(bow.distance_to(again.all[0].at) < 1e-12);
}

TEST_CASE("arcs that are almost straight meet where their parabolas do", "[intersect]") {
  // Two arcs about the origin and a common tangent there,
  // `gap` apart: y = x x / 2 r up to far less than rounding.
  const auto arc = [](double r, double from, double to, double gap) {
    const auto at = [&](double x) { return Vec2{x + 37.0, 0.5 * x * x / r + gap - 12.0}; };
    return ArcSegment{at(from), at(to), std::tan(0.25 * (to - from) / r)};
  };
  for (const double r : {1e7, 1e8, 1e9, 1e10}) {
    for (const double gap : {-0.9, -0.5, 0.0, 0.3, 0.8}) {
      for (const double ratio : {1.7, -1.2, 10.0, -40.0}) {
        CAPTURE(r, gap, ratio);
        // They meet at +- x; the gap is chosen for that.
        const double x = 60.0;
        const double flatter = r * ratio;
        const double shift = 0.5 * x * x * (1.0 / r - 1.0 / flatter);
        const ArcSegment one = arc(r, -100.0, 90.0, 0.0);
        const ArcSegment two = arc(flatter, -80.0 + 10.0 * gap, 100.0, shift);
        const double touch = 1e-12;
        for (const Contacts& found : {contacts(one, two, touch), contacts(two, one, touch)}) {
          REQUIRE(found.count == 2);
          // Rounding moves the crossing by 1e-14 over the angle between them.
          const double angle = x * std::abs(1.0 / r - 1.0 / flatter);
          for (const Contact& c : found) CHECK(std::abs(std::abs(c.at.x - 37.0) - x) < 1e-12 + 1e-13 / angle);
        }
        // Moved apart they do not meet; where they nearly touch it counts within `touch`.
        const double side = 1.0 / r > 1.0 / flatter ? -1.0 : 1.0;
        CHECK(contacts(one, arc(flatter, -80.0, 100.0, 3e-7 * side), 1e-7).count == 0);
        CHECK(contacts(one, arc(flatter, -80.0, 100.0, 5e-8 * side), 1e-7).count > 0);
      }
      // About one centre: never.
      const ArcSegment outer = arc(r, -100.0, 90.0, 0.0);
      const ArcSegment inner{outer.a + 0.4 * left_of(outer.start_tangent()),
                             outer.b + 0.4 * left_of(outer.end_tangent()), outer.bulge};
      CHECK(contacts(outer, inner, 1e-7).count == 0);
    }
  }
}
