#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/offset/offset.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

void check_parallel(const OpenArcPath& path, double left, const OpenArcPath& line) {
  for (std::size_t i = 0; i < line.size(); ++i) {
    for (double t : {0.05, 0.5, 0.95}) {
      CHECK(distance_to(path, line.segment(i).point_at(t)) >= std::abs(left) - 1e-6);
    }
  }
}

}  // namespace

TEST_CASE("parallels of a line and an arc are a line and a concentric arc", "[offset_open]") {
  const OpenArcPath path{{{{0, 0}, 0.0}, {{30, 0}, 0.4142135623730951}, {{50, 20}, 0.0}}};
  for (double left : {3.0, -3.0, 12.0}) {
    const Result<OpenArcPath> line = offset_open(path, Millimetres(left));
    REQUIRE(line.ok());
    REQUIRE(line->size() == 2);
    CHECK(distance(line->vertices[0].at, {0, left}) < 1e-12);
    CHECK(line->segment(1).radius() == Approx(20.0 - left));
    CHECK(length(*line) == Approx(30 + (20 - left) * std::numbers::pi / 2));
    check_parallel(path, left, *line);
  }
}

TEST_CASE("corners are trimmed on the inside and mitred on the outside", "[offset_open]") {
  const OpenArcPath path{{{{0, 0}, 0}, {{30, 0}, 0}, {{30, 20}, 0}}};
  const Result<OpenArcPath> inside = offset_open(path, Millimetres(2.0));
  REQUIRE(inside.ok());
  REQUIRE(inside->vertices.size() == 3);
  CHECK(distance(inside->vertices[1].at, {28, 2}) < 1e-9);
  const Result<OpenArcPath> outside = offset_open(path, Millimetres(-2.0));
  REQUIRE(outside->vertices.size() == 3);
  CHECK(distance(outside->vertices[1].at, {32, -2}) < 1e-9);
}

TEST_CASE("a notch narrower than the distance is skipped", "[offset_open]") {
  const OpenArcPath path{{{{0, 0}, 0}, {{20, 0}, 0}, {{21, -3}, 0}, {{22, 0}, 0}, {{40, 0}, 0}}};
  const Result<OpenArcPath> line = offset_open(path, Millimetres(5.0));
  REQUIRE(line.ok());
  check_parallel(path, 5.0, *line);
  CHECK(distance(line->vertices.front().at, {0, 5}) < 1e-12);
  CHECK(distance(line->vertices.back().at, {40, 5}) < 1e-12);
}

TEST_CASE("a bend used up by the distance leaves a corner", "[offset_open]") {
  const OpenArcPath path{{{{0, 0}, 0}, {{30, 0}, 0.4142135623730951}, {{34, 4}, 0}, {{34, 40}, 0}}};
  const Result<OpenArcPath> line = offset_open(path, Millimetres(10.0));
  REQUIRE(line.ok());
  REQUIRE(line->vertices.size() == 3);
  CHECK(distance(line->vertices[1].at, {24, 10}) < 1e-9);
}

TEST_CASE("a parallel that falls apart or vanishes is refused with the largest distance", "[offset_open]") {
  // A hook that closes to a mouth of 6 mm.
  const OpenArcPath hook{{{{0, 0}, 0}, {{40, 0}, 0}, {{40, 30}, 0}, {{20, 30}, 0}, {{20, 6}, 0}}};
  const Result<OpenArcPath> line = offset_open(hook, Millimetres(4.0));
  REQUIRE_FALSE(line.ok());
  CHECK(*line.problem().value == 4.0);
  CHECK(*line.problem().limit == Approx(3.0).margin(0.01));
  CHECK(offset_open(hook, Millimetres(2.9)).ok());
}

TEST_CASE("no distance gives the path back", "[offset_open]") {
  const OpenArcPath path{{{{0, 0}, 0.2}, {{30, 0}, 0.0}}};
  CHECK(offset_open(path, Millimetres(0.0))->vertices == path.vertices);
  CHECK_FALSE(offset_open(OpenArcPath{}, Millimetres(1.0)).ok());
}
