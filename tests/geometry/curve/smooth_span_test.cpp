// Directions between two places of a curve where they are known.
#include "geometry/curve/smooth_span.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/curve/biarc.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// A curve whose bend changes all along: x = a cos t + c cos 2t, y = b sin t.
struct Bent {
  double a;
  double b;
  double c;
  [[nodiscard]] Vec2 at(double t) const { return {a * std::cos(t) + c * std::cos(2.0 * t), b * std::sin(t)}; }
  [[nodiscard]] Vec2 tangent(double t) const {
    return unit({-a * std::sin(t) - 2.0 * c * std::sin(2.0 * t), b * std::cos(t)});
  }
};

// How far the biarc through both ends leaves the curve.
double leaves_by(const Bent& curve, double from, double to, const Biarc& fit) {
  double worst = 0.0;
  for (int i = 1; i < 20; ++i) {
    const Vec2 p = curve.at(from + (to - from) * i / 20.0);
    worst = std::max(worst, std::min(fit.first.distance_to(p), fit.second.distance_to(p)));
  }
  return worst;
}

}  // namespace

TEST_CASE("the direction between two known ones is that of the curve, nearer than its arcs say",
          "[curve][span]") {
  double worst_arcs = 0.0;
  double worst_span = 0.0;
  test::holds_for_all("direction of the curve", [&] {
    const Bent curve{*rc::gen::inRange(300, 1400) / 10.0, *rc::gen::inRange(300, 900) / 10.0,
                     *rc::gen::inRange(-90, 90) / 10.0};
    const double from = *rc::gen::inRange(0, 6283) / 1000.0;
    double to = from + 0.8;
    const auto fit = [&] {
      return biarc(curve.at(from), curve.tangent(from), curve.at(to), curve.tangent(to));
    };
    while (leaves_by(curve, from, to, fit()) > 0.0035) to = from + 0.5 * (to - from);
    const Biarc arcs = fit();
    const SmoothSpan span{curve.at(from), curve.tangent(from), curve.at(to), curve.tangent(to)};
    for (const double share : {0.0, 0.1, 0.25, 0.4, 0.5, 0.7, 0.9, 1.0}) {
      for (const ArcSegment& arc : {arcs.first, arcs.second}) {
        const Vec2 p = arc.point_at(share);
        // The place of the curve nearest to p.
        double t = from + (to - from) * share;
        for (int i = 0; i < 60; ++i) {
          const Vec2 slope = (curve.at(t + 1e-5) - curve.at(t - 1e-5)) / 2e-5;
          t += dot(p - curve.at(t), slope) / square_of(slope);
        }
        const std::optional<Vec2> found = direction_on(span, p, 0.005);
        RC_ASSERT(found.has_value());
        const double off = std::abs(angle_between(*found, curve.tangent(t)));
        worst_span = std::max(worst_span, off);
        worst_arcs = std::max(worst_arcs, std::abs(angle_between(arc.tangent_at(share), curve.tangent(t))));
        RC_ASSERT(off < 2.5e-3);
      }
    }
  });
  CHECK(worst_arcs > 4.0 * worst_span);
}

TEST_CASE("on an arc the direction is the arc's", "[curve][span]") {
  for (const double turn : {1e-9, 1e-4, 0.1, 0.5, 0.99}) {
    for (const double left : {1.0, -1.0}) {
      const ArcSegment arc{{3.0, 4.0}, {40.0, 9.0}, left * std::tan(0.25 * turn)};
      const SmoothSpan span{arc.a, arc.start_tangent(), arc.b, arc.end_tangent()};
      for (const double t : {0.0, 0.2, 0.5, 0.77, 1.0}) {
        const std::optional<Vec2> found = direction_on(span, arc.point_at(t), 0.005);
        REQUIRE(found.has_value());
        CHECK(std::abs(angle_between(*found, arc.tangent_at(t))) < 3e-5);
      }
    }
  }
}

TEST_CASE("a place off the span, or a span that bends too much, has no direction", "[curve][span]") {
  const SmoothSpan span{{0, 0}, {1, 0}, {20, 2}, unit({1, 0.2})};
  CHECK(direction_on(span, {10, 0.6}, 1.0).has_value());
  CHECK_FALSE(direction_on(span, {10, 3.0}, 0.005).has_value());
  CHECK_FALSE(direction_on(span, {-1, 0}, 0.005).has_value());
  // Beyond its end the next one is asked, however near it is: which of two comes first does not matter.
  CHECK_FALSE(direction_on(span, {-0.003, 0}, 0.005).has_value());
  CHECK(direction_on(span, {0.003, 0}, 0.005).has_value());
  CHECK_FALSE(direction_on(span, {21.5, 2.3}, 0.005).has_value());
  CHECK_FALSE(direction_on({{0, 0}, {1, 0}, {0, 0}, {1, 0}}, {0, 0}, 0.005).has_value());
  CHECK_FALSE(direction_on({{0, 0}, {0, -1}, {20, 0}, {0, 1}}, {0, 0}, 0.005).has_value());
}
