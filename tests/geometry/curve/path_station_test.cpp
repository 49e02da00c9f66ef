#include "geometry/curve/path_station.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/course.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

TEST_CASE("the nearest station of a path is nearest of all its points, and the path passes there",
          "[path_station]") {
  Dice dice(3);
  for (int round = 0; round < 20; ++round) {
    const ClosedArcPath closed = blob(static_cast<std::uint64_t>(round + 1), 9, 40);
    OpenArcPath open;
    for (std::size_t i = 0; i <= closed.size(); ++i)
      open.vertices.push_back(closed.vertices[i % closed.size()]);
    open.vertices.back().bulge = 0.0;
    const Course course(open);
    const Vec2 point{dice(-60, 60), dice(-60, 60)};
    const PathStation station = nearest_station(closed, point);
    CHECK(distance(course.at(station.along).at, point) == Approx(station.off).margin(1e-9));
    for (int k = 0; k <= 500; ++k)
      CHECK(distance(course.at(course.length() * k / 500.0).at, point) >= station.off - 1e-9);
    // As far as its vertices go the open path is the same.
    CHECK(nearest_station(open, point).along == station.along);
    CHECK(nearest_station(open, point).off == station.off);
  }
}

TEST_CASE("of places equally near the first is the nearest station, and an empty path has none",
          "[path_station]") {
  const ClosedArcPath box = box_path(40, 20);
  const double first = nearest_station(box, {0, 0}).along;
  CHECK(nearest_station(box, {0, 0}).off == Approx(10.0));
  CHECK(first < 0.5 * length(box));
  CHECK(std::isinf(nearest_station(OpenArcPath{}, {0, 0}).off));
}
