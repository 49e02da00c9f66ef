#include "geometry/map/rigid_rows.hpp"

#include <catch2/catch.hpp>

#include "tests/support/blob.hpp"

using namespace lastwright;

namespace {

// How many samples moved along to another arc. Each must be with the arc that a search of all finds.
int moved_along(const std::vector<FitSample>& before, const std::vector<FitSample>& after,
                const MeasuredOutline& other, const auto& place) {
  int moved = 0;
  for (std::size_t k = 0; k < before.size(); ++k) {
    const std::size_t nearest = other.nearest(place(before[k].at), before[k].hint).arc;
    if (after[k].hint != nearest)
      FAIL("sample " << k << " is said to be nearest to " << after[k].hint << ", not to " << nearest);
    if (before[k].hint != nearest) ++moved;
  }
  return moved;
}

}  // namespace

TEST_CASE("samples that are moved on are with the arcs that a search of all arcs finds", "[rigid]") {
  const std::vector<double> one{1.0};
  int moved = 0;
  for (std::uint64_t seed = 0; seed < 12; ++seed) {
    test::Dice dice(seed);
    const int n = seed == 0 ? 3 : static_cast<int>(dice(4, 60));
    const MeasuredOutline moving(test::blob(seed, n));
    const MeasuredOutline still(test::stretched(test::blob(seed, n), dice(0.9, 1.1), dice(0.9, 1.1)));
    SampledPair pair{{&moving, &still, one}, sampled(moving, one, 8.0), sampled(still, one, 8.0)};
    Pose pose;
    pose.pivot = {dice(-20, 20), dice(-20, 20)};
    for (int round = 0; round < 40; ++round) {
      const double step =
          std::pow(10.0, dice(-3.0, 1.0));  // mm: from far within to beyond what was looked out for
      pose.shift = pose.shift + Vec2{dice(-step, step), dice(-step, step)};
      pose.turn += dice(-step, step) / 100.0;
      const SampledPair before = pair;
      std::vector<ResidualRow> rows;
      add_rows(pair, pose, 50.0, rows);
      REQUIRE(rows.size() == pair.moving.size() + pair.still.size());
      moved += moved_along(before.moving, pair.moving, still, [&](Vec2 p) { return pose.place(p); });
      moved += moved_along(before.still, pair.still, moving, [&](Vec2 p) { return pose.unplace(p); });
    }
  }
  CHECK(moved > 1000);
}
