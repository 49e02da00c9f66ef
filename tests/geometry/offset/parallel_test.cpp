// Parallel lines by their definition: every point at its distance from the path and none nearer.
#include "geometry/offset/parallel.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/offset/offset.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;

namespace {

// A smooth line of arcs that turns to and fro.
OpenArcPath smooth_line(std::uint64_t seed, double turns) {
  test::Dice dice(seed);
  OpenArcPath path;
  Vec2 at{0, 0};
  Vec2 along{1, 0};
  for (int i = 0; i < 8; ++i) {
    const double sweep = dice(-turns, turns);
    const Vec2 chord = std::cos(sweep / 2) * along + std::sin(sweep / 2) * left_of(along);
    path.vertices.push_back({at, std::tan(sweep / 4)});
    at += dice(4.0, 20.0) * chord;
    along = std::cos(sweep) * along + std::sin(sweep) * left_of(along);
  }
  path.vertices.push_back({at, 0.0});
  return path;
}

double worst_off(const OpenArcPath& line, const OpenArcPath& path, double distance) {
  double worst = 0.0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    for (const double t : {0.0, 0.21, 0.5, 0.77, 1.0})
      worst = std::max(worst, std::abs(distance_to(path, line.segment(i).point_at(t)) - distance));
  }
  return worst;
}

}  // namespace

TEST_CASE("a parallel line keeps its distance, on both sides, the quick way and the long way", "[parallel]") {
  int made = 0;
  for (std::uint64_t seed = 1; seed <= 200; ++seed) {
    const OpenArcPath path = smooth_line(seed, seed % 2 == 0 ? 0.15 : 0.9);
    for (const double left : {1.5, -2.0, 6.0, -9.0}) {
      const Result<OpenArcPath> line = parallel(path, Millimetres(left));
      if (!line) continue;
      ++made;
      INFO("seed " << seed << ", " << left << " mm");
      CHECK(worst_off(*line, path, std::abs(left)) < 1e-5);
    }
  }
  CHECK(made > 700);
}

TEST_CASE("the quick way gives the line that offset_open gives", "[parallel]") {
  for (std::uint64_t seed = 2; seed <= 60; seed += 2) {
    const OpenArcPath path = smooth_line(seed, 0.15);
    const Result<OpenArcPath> quick = parallel(path, Millimetres(3.0));
    const Result<OpenArcPath> slow = offset_open(path, Millimetres(3.0));
    REQUIRE(quick);
    REQUIRE(slow);
    CHECK(length(*quick) == Approx(length(*slow)).epsilon(1e-8));
    for (const ArcVertex& v : quick->vertices) CHECK(distance_to(*slow, v.at) < 1e-6);
  }
}

TEST_CASE("a bend tighter than the distance is used up, however little it turns", "[parallel]") {
  for (const double degrees : {10.0, 30.0, 60.0, 85.0}) {
    for (const double radius : {0.5, 3.0, 7.9}) {
      const double turn = degrees * std::acos(-1.0) / 180.0;
      const Vec2 along{std::cos(turn), std::sin(turn)};
      const Vec2 end = Vec2{40.0, 0.0} + radius * Vec2{std::sin(turn), 1.0 - std::cos(turn)};
      const OpenArcPath path{
          {{{0, 0}, 0}, {{40, 0}, std::tan(0.25 * turn)}, {end, 0}, {end + 40.0 * along, 0}}};
      const Result<OpenArcPath> line = parallel(path, Millimetres(8.0));
      CAPTURE(degrees, radius);
      REQUIRE(line);
      CHECK(worst_off(*line, path, 8.0) < 1e-6);
      // Both straight parts, moved, meet.
      const double shorter = 8.0 * std::tan(0.5 * turn) - radius * std::tan(0.5 * turn);
      CHECK(length(*line) == Approx(80.0 - 2.0 * shorter));
    }
  }
}
