#include "geometry/check/segment_gap.hpp"

#include <catch2/catch.hpp>

#include "tests/support/blob.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

TEST_CASE("the gap of two segments is that of dense points, never more", "[gap]") {
  Dice dice(7);
  for (int round = 0; round < 400; ++round) {
    const auto segment = [&] {
      return ArcSegment{
          {dice(-5, 5), dice(-5, 5)}, {dice(-5, 5), dice(-5, 5)}, round % 3 == 0 ? 0.0 : dice(-1, 1)};
    };
    const ArcSegment a = segment();
    ArcSegment b = segment();
    if (round % 2 == 0) {
      b.a.x += 8;
      b.b.x += 8;
    }
    double dense = 1e9;
    for (int k = 0; k <= 2000; ++k) dense = std::min(dense, b.distance_to(a.point_at(k / 2000.0)));
    const SegmentGap gap = gap_between(a, b);
    CHECK(gap.distance <= dense + 1e-9);
    CHECK(gap.distance >= dense - a.length() / 2000.0);
    CHECK(distance(a.point_at(gap.t_first), b.point_at(gap.t_second)) == Approx(gap.distance).margin(1e-12));
  }
}

TEST_CASE("a slot is the narrowest place, a corner is none", "[gap]") {
  const ClosedArcPath slotted{
      {{{0, 0}}, {{40, 0}}, {{40, 20}}, {{21, 20}}, {{21, 5}}, {{19, 5}}, {{19, 20}}, {{0, 20}}}};
  CHECK(narrowest_place(slotted, Millimetres(10)).distance == Approx(2.0));
  const ClosedArcPath wedge{{{{0, 0}}, {{60, -30}}, {{60, 30}}}};
  CHECK(std::isinf(narrowest_place(wedge, Millimetres(10)).distance));
}

TEST_CASE("two outlines that cross have no gap", "[gap]") {
  CHECK(gap_between(box_path(10, 10), placed(box_path(10, 10), Radians(0), {5, 5})).distance ==
        Approx(0).margin(1e-12));
  CHECK(gap_between(box_path(10, 10), box_path(4, 6)).distance == Approx(2.0));
}
