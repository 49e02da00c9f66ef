// A curve runs on with the direction and the curvature
// that it ends with, against the turn of its own tangents.
#include "geometry/inset/long_curve.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/curve.hpp"
#include "geometry/result.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// How fast the tangent turns at one end, per mm: from tangents a little apart, no second derivatives.
double turn_per_mm(const Curve& curve, bool at_end) {
  constexpr double kApart = 1e-4;
  const double t0 = at_end ? 1.0 - kApart : 0.0;
  const double t1 = at_end ? 1.0 : kApart;
  const Vec2 a = tangent_at(curve, t0);
  const Vec2 b = tangent_at(curve, t1);
  return std::atan2(cross(a, b), dot(a, b)) / length(part_of(curve, t0, t1));
}

Curve drawn_spline() {
  const auto at = [] { return Vec2{*rc::gen::inRange(-50, 50) / 10.0, *rc::gen::inRange(-50, 50) / 10.0}; };
  Result<Spline> made = make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1},
                                    {at(), Vec2{20, 5} + at(), Vec2{40, -5} + at(), Vec2{60, 0} + at()});
  invariant(made.ok(), "four poles make a cubic");
  return *std::move(made);
}

}  // namespace

TEST_CASE("a spline runs on along the circle that it ends with, either way", "[inset]") {
  int bent = 0;
  test::holds_for_all("what a spline runs on along has its direction and curvature", [&] {
    const Curve own = drawn_spline();
    const LongCurve longer(own, 10.0);
    for (const bool at_end : {true, false}) {
      const double own_turn = turn_per_mm(own, at_end);
      const LongPlace from = at_end ? longer.end() : LongPlace{0, 0.0, {}};
      const LongPlace to = at_end ? LongPlace{2, 1.0, {}} : longer.start();
      const double length = longer.position(to) - longer.position(from);
      RC_ASSERT(std::abs(length - 10.0) < 1e-6);
      const double turned =
          longer.tangent(from).x * longer.tangent(to).y - longer.tangent(from).y * longer.tangent(to).x;
      RC_ASSERT(std::abs(std::asin(turned) - 10.0 * own_turn) < 1e-4 + 1e-3 * std::abs(10.0 * own_turn));
      bent += std::abs(own_turn) > 0.005 ? 1 : 0;
    }
  });
  CHECK(bent > 100);
}

TEST_CASE("a curve that runs on to a point starts with the curvature it ended with", "[inset]") {
  test::holds_for_all("no kink and no jump of curvature where a curve is run on to a point", [] {
    const Curve own = drawn_spline();
    LongCurve longer(own, 10.0);
    const Vec2 ahead = end_of(own) + 8.0 * tangent_at(own, 1.0) +
                       *rc::gen::inRange(-20, 20) / 10.0 * left_of(tangent_at(own, 1.0));
    const Vec2 back = start_of(own) - 8.0 * tangent_at(own, 0.0);
    longer.run_on_to(ahead);
    longer.run_back_to(back);
    for (const bool at_end : {true, false}) {
      const std::vector<Curve> run = at_end ? longer.between(longer.end(), {2, 1.0, ahead})
                                            : longer.between({0, 0.0, back}, longer.start());
      RC_ASSERT(run.size() == 1u);
      RC_ASSERT(distance(at_end ? end_of(run[0]) : start_of(run[0]), at_end ? ahead : back) < 1e-9);
      RC_ASSERT(distance(tangent_at(run[0], at_end ? 0.0 : 1.0), tangent_at(own, at_end ? 1.0 : 0.0)) < 1e-9);
      RC_ASSERT(std::abs(turn_per_mm(run[0], !at_end) - turn_per_mm(own, at_end)) <
                2e-4 + 5e-3 * std::abs(turn_per_mm(own, at_end)));
    }
  });
}
