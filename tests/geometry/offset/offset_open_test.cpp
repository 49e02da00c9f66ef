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

TEST_CASE("hollow kinks between arcs are passed, however slight", "[offset_open]") {
  // The kink turns right, so that the parallels on the right of both arcs cross just before their ends.
  int made = 0;
  for (const double bulge : {-0.12, -0.02, 0.02, 0.12}) {
    for (int step = 0; step <= 33; ++step) {
      const double kink = std::pow(10.0, -5.0 + 0.1 * step);
      for (const double d : {0.6, 1.5, 4.0, 11.0, 25.0}) {
        const ArcSegment first{{0.0, 0.0}, {40.0, 0.0}, bulge};
        const Vec2 along = first.end_tangent();
        const Vec2 leaves = std::cos(kink) * along - std::sin(kink) * left_of(along);
        const ArcSegment second = arc_from_tangent(
            first.b, leaves, first.b + 35.0 * (std::cos(0.1) * leaves + std::sin(0.1) * left_of(leaves)));
        const OpenArcPath path{{{first.a, first.bulge}, {second.a, second.bulge}, {second.b, 0.0}}};
        const Result<OpenArcPath> line = offset_open(path, Millimetres(-d));
        INFO("bulge " << bulge << ", kink " << kink << ", " << d
                      << " mm: " << (line ? std::string() : to_text(line.problem())));
        REQUIRE(line.ok());
        ++made;
        CHECK(line->size() == 2);
        check_parallel(path, d, *line);
        CHECK(distance(line->vertices.front().at, first.a - d * left_of(first.start_tangent())) < 1e-12);
        CHECK(distance(line->vertices.back().at, second.b - d * left_of(second.end_tangent())) < 1e-12);
      }
    }
  }
  CHECK(made == 4 * 34 * 5);
}

TEST_CASE("a parallel ends where another stretch of the path turns its other side to it", "[offset_open]") {
  const OpenArcPath zigzag{{{{10.1, -5.7}, 0},
                            {{10.3, -8.1}, 0},
                            {{22.3, -8.2}, 0},
                            {{3.8, -0.9}, 0},
                            {{-0.5, -7.1}, 0},
                            {{-6, -4.9}, 0}}};
  const Result<OpenArcPath> line = offset_open(zigzag, Millimetres(9.54));
  REQUIRE(line.ok());
  check_parallel(zigzag, 9.54, *line);
  // Where it starts it has its distance from the edge it runs along and from the corner on the far side.
  CHECK(distance(line->vertices.front().at, {10.3, -8.1}) == Approx(9.54).margin(1e-6));
}
