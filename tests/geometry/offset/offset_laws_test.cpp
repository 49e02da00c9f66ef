// Laws of offsets with a distance of its own for every edge and a form for every corner.
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"
#include "tests/support/offset_cases.hpp"

using namespace lastwright;

namespace {

const std::vector<OffsetCorner> kAll = {OffsetCorner::kMitre, OffsetCorner::kFull, OffsetCorner::kSquare,
                                        OffsetCorner::kStep, OffsetCorner::kRound};
// What cuts no edge short.
const std::vector<OffsetCorner> kWhole = {OffsetCorner::kFull, OffsetCorner::kSquare, OffsetCorner::kRound};

// What the result is compared with to a thousandth of the budget of an offset: outlines that rounding makes
// ambiguous are built from distances nudged by up to a hundredth of it.
constexpr double kSame = 3e-5;

bool covers(const ClosedArcPath& path, Vec2 p) {
  return contains(path, p) || distance_to(path, p) < kSame;
}

}  // namespace

TEST_CASE("an offset has one shape, however its outline is laid, mirrored, started or split",
          "[offset][random]") {
  test::holds_for_all("equal outlines, equal offsets", [] {
    const test::OffsetCase c = test::offset_case(kAll);
    RC_LOG() << c;
    const Result<OffsetOutline> out = c.offset();
    RC_ASSERT(out.ok());
    const Result<OffsetOutline> other_hand = mirrored(c).offset();
    RC_ASSERT(other_hand.ok());
    RC_ASSERT(test::apart(out->path, test::mirrored(other_hand->path)) < kSame);
    const auto first = *rc::gen::inRange<std::size_t>(0, c.path.size());
    const Result<OffsetOutline> started = started_at(c, first).offset();
    RC_ASSERT(started.ok());
    RC_ASSERT(test::apart(out->path, started->path) < kSame);
    const double angle = *rc::gen::inRange(0, 6283) / 1000.0;
    const test::OffsetCase laid = moved(c, angle, {300.0, -50.0});
    const Result<OffsetOutline> elsewhere = laid.offset();
    RC_ASSERT(elsewhere.ok());
    const test::OffsetCase expected = test::moved({out->path, {}, {}}, angle, {300.0, -50.0});
    RC_ASSERT(test::apart(expected.path, elsewhere->path) < kSame);
    std::vector<int> parts;
    for (std::size_t i = 0; i < c.path.size(); ++i) parts.push_back(*rc::gen::inRange(1, 5));
    const Result<OffsetOutline> in_parts = split(c, parts).offset();
    RC_ASSERT(in_parts.ok());
    RC_ASSERT(test::apart(out->path, in_parts->path) < kSame);
  });
}

TEST_CASE("every edge has its own allowance right to its ends", "[offset][random]") {
  test::holds_for_all("no normal is short", [] {
    const test::OffsetCase c = test::offset_case(kWhole);
    RC_LOG() << c;
    const Result<OffsetOutline> out = c.offset();
    RC_ASSERT(out.ok());
    for (std::size_t i = 0; i < c.path.size(); ++i) {
      const ArcSegment s = c.path.segment(i);
      const double d = c.distances[i].value();
      if (1.0 + s.curvature() * d <= 0.0) continue;  // a hollow arc tighter than its allowance is used up
      for (const double t : {1e-6, 1e-3, 0.05, 0.3, 0.5, 0.8, 0.97, 0.9999}) {
        const Vec2 out_of = -1.0 * left_of(s.tangent_at(t));
        for (const double share : {0.3, 0.7, 1.0})
          RC_ASSERT(covers(out->path, s.point_at(t) + share * d * out_of));
      }
    }
  });
}

TEST_CASE("nothing but corners is farther out than its edge asks, and nothing is inside",
          "[offset][random]") {
  test::holds_for_all("distance and side", [] {
    const test::OffsetCase c = test::offset_case(kAll);
    RC_LOG() << c;
    const Result<OffsetOutline> out = c.offset();
    RC_ASSERT(out.ok());
    RC_ASSERT(check_simple(out->path, {Millimetres(1e-9), Millimetres(0.0), true}).ok());
    for (std::size_t i = 0; i < out->path.size(); ++i) {
      for (const double t : {0.1, 0.5, 0.9}) {
        const Vec2 p = out->path.segment(i).point_at(t);
        if (contains(c.path, p)) RC_ASSERT(distance_to(c.path, p) < kSame);
        // A tip is cut across at the mitre limit; the ends of the cut are a little farther.
        RC_ASSERT(distance_to(c.path, p) < std::hypot(4.0, 1.0) * 18.0 + kSame);
        if (out->source[i].corner) continue;
        const ArcSegment s = c.path.segment(out->source[i].segment);
        const double d = s.straight() ? std::abs(cross(s.start_tangent(), p - s.a)) : s.distance_to(p);
        RC_ASSERT(std::abs(d - c.distances[out->source[i].segment].value()) < kSame);
      }
    }
  });
}

TEST_CASE("an outline that changes a little changes its offset a little", "[offset][random]") {
  test::holds_for_all("no jumps", [] {
    test::OffsetCase c = test::offset_case(kAll);
    RC_LOG() << c;
    const Result<OffsetOutline> out = c.offset();
    RC_ASSERT(out.ok());
    for (ArcVertex& v : c.path.vertices)
      v.at += Vec2{*rc::gen::inRange(-100, 101) / 1e7, *rc::gen::inRange(-100, 101) / 1e7};
    const Result<OffsetOutline> after = c.offset();
    RC_ASSERT(after.ok());
    // A hundred thousandth of a millimetre in; a corner near the mitre limit, and an arc that is met nearly
    // along it, magnify it most: 240 times in 45,000 outlines.
    RC_ASSERT(test::apart(out->path, after->path) < 0.01);
  });
}
