#include "geometry/check/segment_gap.hpp"

#include <catch2/catch.hpp>

#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"

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

namespace {

enum class Kind { kStraight, kNearlyStraight, kArc, kLargeArc };

ArcSegment drawn_segment(Dice& dice, Kind kind) {
  const Vec2 a{dice(-60, 60), dice(-60, 60)};
  const Vec2 b = a + dice(0.5, 80) * turned({1, 0}, dice(-3.2, 3.2));
  const double side = dice(-1, 1) < 0 ? -1.0 : 1.0;
  switch (kind) {
    case Kind::kStraight:
      return {a, b, 0.0};
    case Kind::kNearlyStraight:  // rises 1e-17 to 1 mm over its chord, in all orders of magnitude
      return {a, b, side * 2.0 * std::pow(10.0, dice(-17, 0)) / distance(a, b)};
    case Kind::kArc:
      return {a, b, dice(-1, 1)};
    case Kind::kLargeArc:
      return {a, b, side * dice(1, 4)};
  }
  return {};
}

// Least distance by looking: at many places of `a`, then closer and closer about the best.
double least_seen(const ArcSegment& a, const ArcSegment& b) {
  const auto off = [&](double t) { return b.distance_to(a.point_at(t)); };
  double best = 0.0;
  double step = 1.0 / 64;
  for (int k = 1; k <= 64; ++k) best = off(k * step) < off(best) ? k * step : best;
  for (; step > 1e-10; step *= 0.6) {
    for (const double t : {best - step, best + step})
      best = t >= 0 && t <= 1 && off(t) < off(best) ? t : best;
  }
  return off(best);
}

}  // namespace

TEST_CASE("segments that meet have no gap, others none more than can be seen, either way round",
          "[gap][law]") {
  constexpr double kExact = 1e-10;  // mm
  Dice dice(11);
  int apart = 0;
  const int rounds = law_rounds(1600);
  for (int round = 0; round < rounds; ++round) {
    const ArcSegment a = drawn_segment(dice, static_cast<Kind>(round % 4));
    ArcSegment b = drawn_segment(dice, static_cast<Kind>(round / 4 % 4));
    // In turn as drawn, through a point of the other, and beside it, along it or not.
    const int how = round / 16 % 4;
    const double on_a = dice(0, 1);
    const double on_b = dice(0, 1);
    if (how > 1) b.b = b.a + turned(b.b - b.a, angle_between(b.tangent_at(on_b), a.tangent_at(on_a)));
    const Vec2 beside = (how == 3 ? dice(-2, 2) : 0.0) * left_of(a.tangent_at(on_a));
    const Vec2 shift = a.point_at(on_a) + beside - b.point_at(on_b);
    if (how > 0) b = {b.a + shift, b.b + shift, b.bulge};
    const SegmentGap gap = gap_between(a, b);
    INFO(round << ": bulges " << a.bulge << ", " << b.bulge);
    CHECK(gap.distance == Approx(distance(a.point_at(gap.t_first), b.point_at(gap.t_second))).margin(1e-12));
    CHECK(gap.distance == Approx(gap_between(b, a).distance).margin(kExact));
    if (how == 1 || how == 2) {
      CHECK(gap.distance <= kExact);
    } else {
      CHECK(gap.distance <= least_seen(a, b) + kExact);
      CHECK(gap.distance <= least_seen(b, a) + kExact);
    }
    apart += gap.distance > kExact ? 1 : 0;
  }
  CHECK(apart > rounds / 4);
}

TEST_CASE("a line through three points almost in a row is met", "[gap]") {
  // An arc that rises 1e-12 mm over 80 mm: its centre is 8e14 mm away.
  const ArcSegment almost{{100, 200}, {180, 200}, 2.5e-14};
  for (const double bulge : {0.0, 1e-15, 2.5e-14, -3e-9, 0.2, -0.4})
    CHECK(gap_between(almost, {{131, 160}, {137, 260}, bulge}).distance < 1e-10);
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
