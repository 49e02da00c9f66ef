#include "geometry/check/hausdorff.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <numbers>

#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// Greatest distance from dense points of one outline to the
// other: short of the truth by at most half the spacing.
double sampled_deviation(const ClosedArcPath& one, const ClosedArcPath& other, double spacing) {
  double worst = 0.0;
  for (std::size_t i = 0; i < one.size(); ++i) {
    const ArcSegment s = one.segment(i);
    const int parts = std::max(1, static_cast<int>(std::ceil(s.length() / spacing)));
    for (int k = 0; k < parts; ++k) {
      worst = std::max(worst, distance_to(other, s.point_at(static_cast<double>(k) / parts)));
    }
  }
  return worst;
}

}  // namespace

TEST_CASE("concentric circles lie as far apart as their radii differ", "[hausdorff]") {
  const ClosedArcPath small{{{{-10, 0}, 1.0}, {{10, 0}, 1.0}}};
  const ClosedArcPath large{{{{0, -12.5}, 1.0}, {{0, 12.5}, 1.0}}};
  const HausdorffResult result = hausdorff(MeasuredOutline(small), MeasuredOutline(large));
  CHECK(result.value == Approx(2.5).margin(1e-9));
  CHECK(result.precision == 1e-4);
}

TEST_CASE("a shifted square deviates by its shift, a corner cut off by the diagonal distance",
          "[hausdorff]") {
  const ClosedArcPath square = box_path(10, 10);
  CHECK(hausdorff(MeasuredOutline(square), MeasuredOutline(placed(square, Radians(0), {0.3, 0}))).value ==
        Approx(0.3).margin(1e-4));
  ClosedArcPath cut = square;
  cut.vertices[2] = {{5, 4}, 0.0};
  cut.vertices.insert(cut.vertices.begin() + 3, ArcVertex{{4, 5}, 0.0});
  CHECK(hausdorff(MeasuredOutline(square), MeasuredOutline(cut)).value ==
        Approx(std::sqrt(0.5)).margin(1e-4));
  // One-sided, the cut outline lies on the square everywhere but on the new edge, half way in: the same by
  // chance of the right angle is ruled out by its own value.
  CHECK(directed_hausdorff(MeasuredOutline(cut), MeasuredOutline(square)).value == Approx(0.5).margin(1e-4));
}

TEST_CASE("labels are judged apart", "[hausdorff]") {
  const ClosedArcPath one = box_path(10, 10);
  ClosedArcPath other = one;
  for (ArcVertex& v : other.vertices) v.at.x += v.at.x > 0 ? 0.4 : 0.0;  // the right-hand edge moves out
  const std::vector<std::uint16_t> labels{0, 1, 2, 3};
  const HausdorffResult result = hausdorff(MeasuredOutline(one, labels), MeasuredOutline(other, labels));
  REQUIRE(result.labels.size() == 4);
  CHECK(result.labels[1].value == Approx(0.4).margin(1e-4));
  CHECK(result.labels[3].value <= 1e-4);
  CHECK(result.labels[0].value == Approx(0.4).margin(1e-4));  // its far end now sticks out
}

TEST_CASE("the certificate holds against dense sampling of random outlines", "[hausdorff]") {
  test::holds_for_all("value <= truth <= value + precision", [] {
    const auto seed = *rc::gen::inRange<std::uint64_t>(1, 1'000'000);
    const ClosedArcPath one = blob(seed);
    ClosedArcPath other = placed(stretched(one, 1.0 + 0.02 * std::sin(static_cast<double>(seed)), 0.99),
                                 Radians(0.004), {0.3, -0.2});
    Dice dice(seed);  // bows of other heights: then they are farthest apart within an arc, not at a joint
    for (ArcVertex& v : other.vertices) v.bulge += dice(-0.1, 0.1);
    constexpr double kSpacing = 0.02;
    const double sampled =
        std::max(sampled_deviation(one, other, kSpacing), sampled_deviation(other, one, kSpacing));
    const HausdorffResult exact = hausdorff(MeasuredOutline(one), MeasuredOutline(other));
    RC_ASSERT(exact.value + exact.precision >= sampled - 1e-9);
    RC_ASSERT(exact.value <= sampled + kSpacing / 2 + 1e-9);
  });
}

TEST_CASE("quite different outlines are measured too", "[hausdorff]") {
  for (std::uint64_t seed = 1; seed < 40; ++seed) {
    const ClosedArcPath one = blob(seed, 9, 40.0);
    const ClosedArcPath other = placed(blob(seed + 1000, 23, 55.0), Radians(0.7), {9.0, 4.0});
    const double sampled = std::max(sampled_deviation(one, other, 0.01), sampled_deviation(other, one, 0.01));
    const HausdorffResult exact = hausdorff(MeasuredOutline(one), MeasuredOutline(other));
    CHECK(exact.value + exact.precision >= sampled - 1e-9);
    CHECK(exact.value <= sampled + 0.005 + 1e-9);
  }
}

TEST_CASE("a limit that is exceeded stops the search", "[hausdorff]") {
  const std::vector<double> limits{0.05};
  HausdorffOptions options;
  options.limits = limits;
  const HausdorffResult result =
      hausdorff(MeasuredOutline(box_path(10, 10)), MeasuredOutline(box_path(10.4, 10)), options);
  CHECK(result.stopped);
  CHECK(result.value > 0.05);
}

TEST_CASE("outlines that agree but for one bow are apart by the difference of its heights", "[hausdorff]") {
  // Forty arcs about an oval; the other outline runs the other way round and starts elsewhere.
  ClosedArcPath oval;
  for (int i = 0; i < 40; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / 40.0;
    oval.vertices.push_back({{90.0 * std::cos(angle), 50.0 * std::sin(angle)}, i % 4 == 0 ? 0.0 : 0.03});
  }
  for (std::size_t changed : {0U, 7U, 23U, 39U}) {
    for (double by : {0.0, 1e-3, 0.02}) {
      ClosedArcPath other = oval;
      other.vertices[changed].bulge += by;
      // Half the chord times the bulge is the height.
      const double apart = 0.5 * oval.segment(changed).chord() * by;
      std::rotate(other.vertices.begin(), other.vertices.begin() + 11, other.vertices.end());
      const ClosedArcPath moved = placed(reversed(other), Radians(0.0), {1e-12, -1e-12});
      INFO("bow " << changed << " by " << by);
      const HausdorffResult result = hausdorff(MeasuredOutline(oval), MeasuredOutline(moved));
      CHECK(result.value <= apart + 1e-9);
      CHECK(apart <= result.value + result.precision);
      if (by > 0.0) CHECK(result.value > 0.5 * apart);
    }
  }
}
