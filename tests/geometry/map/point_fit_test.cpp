// Least squares by formula: exact where it can be, and nowhere better nearby.
#include "geometry/map/point_fit.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/placed_curve.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

double number_within(int low, int high) {
  return *rc::gen::inRange(low * 100, high * 100) / 100.0;
}

PlaneAffine motion(double angle, Vec2 shift, bool mirrored) {
  const Vec2 x{std::cos(angle), std::sin(angle)};
  return {mirrored ? -x : x, left_of(x), shift};
}

double sum_of_squares(const std::vector<PointOnPoint>& pairs, const PlaneAffine& by) {
  double sum = 0.0;
  for (const PointOnPoint& pair : pairs) sum += square_of(by.point(pair.moving) - pair.still);
  return sum;
}

}  // namespace

TEST_CASE("points that were moved rigidly are laid back on themselves", "[point_fit]") {
  test::holds_for_all("exact", [] {
    const bool mirrored = *rc::gen::arbitrary<bool>();
    const PlaneAffine by =
        motion(number_within(-3, 3), {number_within(-900, 900), number_within(-900, 900)}, mirrored);
    std::vector<PointOnPoint> pairs;
    for (int i = *rc::gen::inRange(2, 9); i > 0; --i) {
      const Vec2 p{number_within(-300, 300), number_within(-300, 300)};
      pairs.push_back({p, by.point(p)});
    }
    const PointFit fit = fit_points(pairs, mirrored);
    RC_PRE(fit.spread > 1.0);
    RC_ASSERT(fit.worst < 1e-10);
    RC_ASSERT(fit.motion.mirrors() == mirrored);
    RC_ASSERT(std::abs(std::abs(fit.motion.determinant()) - 1.0) < 1e-12);
  });
}

TEST_CASE("no motion near the fit brings the points nearer in sum of squares", "[point_fit]") {
  test::holds_for_all("least", [] {
    const bool mirrored = *rc::gen::arbitrary<bool>();
    std::vector<PointOnPoint> pairs;
    for (int i = *rc::gen::inRange(2, 9); i > 0; --i)
      pairs.push_back({{number_within(-300, 300), number_within(-300, 300)},
                       {number_within(-300, 300), number_within(-300, 300)}});
    const PointFit fit = fit_points(pairs, mirrored);
    RC_PRE(fit.spread > 1.0);
    const double least = sum_of_squares(pairs, fit.motion);
    double worst = 0.0;
    for (const PointOnPoint& pair : pairs)
      worst = std::max(worst, distance(fit.motion.point(pair.moving), pair.still));
    RC_ASSERT(std::abs(worst - fit.worst) < 1e-9);
    for (const double turn : {-0.01, 0.01}) {
      for (const Vec2 shift : {Vec2{0, 0}, Vec2{0.1, 0}, Vec2{0, 0.1}, Vec2{-0.1, -0.1}}) {
        const PlaneAffine aside = motion(turn, shift, false) * fit.motion;
        RC_ASSERT(sum_of_squares(pairs, aside) >= least - 1e-6);
      }
    }
  });
}

TEST_CASE("a curve moved is the curve's points moved", "[point_fit]") {
  const std::vector<Curve> curves{
      Line{{1, 2}, {30, -4}}, Arc{{0, 0}, {10, 5}, -0.7},
      *make_spline(2, {0, 0, 0, 0.3, 1, 1, 1}, {{0, 0}, {5, 9}, {12, -3}, {20, 1}}, {1, 0.5, 2, 1})};
  for (const bool mirrored : {false, true}) {
    const PlaneAffine by = motion(2.2, {40, -7}, mirrored);
    for (const Curve& curve : curves) {
      const Curve moved = placed(curve, by);
      for (int k = 0; k <= 20; ++k)
        CHECK(distance(point_at(moved, k / 20.0), by.point(point_at(curve, k / 20.0))) < 1e-12);
    }
  }
}
