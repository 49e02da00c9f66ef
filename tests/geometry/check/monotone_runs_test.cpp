// Every pair of segments that comes near is visited, once; seen against the distances of all pairs.
#include "geometry/check/monotone_runs.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <numbers>
#include <random>

#include "geometry/check/segment_gap.hpp"
#include "geometry/curve/intersect.hpp"
#include "tests/support/outline_corpus.hpp"

using namespace lastwright;

namespace {

// What is not visited must be further apart than `touch`, or be neighbours that have only their joint in
// common. Returns how many pairs were spared.
int spared(const ClosedArcPath& path, double touch) {
  std::map<std::pair<std::size_t, std::size_t>, int> visits;
  MonotoneRuns(path, touch).for_near([&](std::size_t one, std::size_t two) {
    CHECK(one < two);
    ++visits[{one, two}];
  });
  int missing = 0;
  const std::size_t n = path.size();
  for (std::size_t one = 0; one < n; ++one) {
    for (std::size_t two = one + 1; two < n; ++two) {
      const auto found = visits.find({one, two});
      if (found != visits.end()) {
        CHECK(found->second == 1);
        continue;
      }
      ++missing;
      INFO("segments " << one << " and " << two);
      const ArcSegment a = path.segment(one);
      const ArcSegment b = path.segment(two);
      if (two == one + 1) {
        CHECK(neighbour_contacts(a, b, touch).count == 0);
        CHECK(dot(a.end_tangent(), b.start_tangent()) > -1e-9);
      } else {
        CHECK((one > 0 || two + 1 < n));
        CHECK(gap_between(a, b).distance > touch);
      }
    }
  }
  return missing;
}

}  // namespace

TEST_CASE("pairs of the corpus that are not visited do not meet", "[monotone_runs]") {
  for (const test::NamedOutline& outline : test::outline_corpus()) {
    INFO(outline.name);
    for (double touch : {1e-9, 1e-6, 1e-3, 0.3}) spared(outline.path, touch);
  }
}

TEST_CASE("pairs of tangled outlines that are not visited do not meet", "[monotone_runs]") {
  std::mt19937 random(7);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  int missing = 0;
  for (int round = 0; round < 300; ++round) {
    // A walk on a coarse grid, so that directions along the axes, points on other segments and doubled-back
    // stretches are common.
    ClosedArcPath path;
    const double grid = round % 2 == 0 ? 1.0 : 1e-3;
    Vec2 at;
    const int count = 4 + round % 90;
    for (int i = 0; i < count; ++i) {
      Vec2 step;
      while (step == Vec2{}) step = {std::round(between(-2.6, 2.6)), std::round(between(-2.6, 2.6))};
      const double bulges[] = {0.0, 0.0, 0.2, -0.4, std::sqrt(2.0) - 1.0, -1.0, 1.8, 1e-6};
      path.vertices.push_back({grid * at, bulges[random() % 8]});
      at += step;
    }
    if (at == Vec2{}) path.vertices.pop_back();
    missing += spared(path, round % 3 == 0 ? 0.5 * grid : 1e-7);
  }
  CHECK(missing > 100000);
}
