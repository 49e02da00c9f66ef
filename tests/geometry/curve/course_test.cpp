#include "geometry/curve/course.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/blob.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

OpenArcPath opened(const ClosedArcPath& path) {
  OpenArcPath open;
  open.vertices = path.vertices;
  return open;
}

}  // namespace

TEST_CASE("a line and a half circle are walked by length", "[course]") {
  const Course course({{{{0, 0}, 0.0}, {{10, 0}, 1.0}, {{10, 20}, 0.0}}});
  CHECK(course.length() == Approx(10 + 10 * std::numbers::pi).epsilon(1e-14));
  CHECK(course.at(4).at == Vec2{4, 0});
  const Course::Station quarter = course.at(10 + 5 * std::numbers::pi);
  CHECK(distance(quarter.at, {20, 10}) < 1e-12);
  CHECK(distance(quarter.along, {0, 1}) < 1e-12);
  CHECK(course.at(-1).at == Vec2{0, 0});
  CHECK(distance(course.at(1e9).at, {10, 20}) < 1e-12);
}

TEST_CASE("a stretch of a course has its length, its ends and its arcs", "[course]") {
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    test::Dice dice(seed);
    const Course course(opened(test::blob(seed)));
    const double a = dice(0.0, 0.45) * course.length();
    const double b = dice(0.55, 1.0) * course.length();
    const OpenArcPath part = course.part(a, b);
    CHECK(length(part) == Approx(b - a).epsilon(1e-9));
    CHECK(distance(part.vertices.front().at, course.at(a).at) < 1e-9);
    CHECK(distance(part.vertices.back().at, course.at(b).at) < 1e-9);
    for (std::size_t i = 0; i < part.size(); ++i)
      CHECK(distance_to(course.path(), part.segment(i).point_at(0.5)) < 1e-9);
  }
}
