#include "geometry/map/closest_lie.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <numbers>
#include <utility>

#include "tests/support/blob.hpp"

using namespace lastwright;
using namespace lastwright::test;
using Catch::Detail::Approx;

namespace {

// The same question by trial alone: a grid of turns and shifts, and from the best of it random steps that
// are kept where they lead nearer. What it finds is reached, so the least is not above it.
class Oracle {
 public:
  Oracle(const ClosedArcPath& moving, const ClosedArcPath& still)
      : moving_(moving),
        still_(still),
        a_(moving),
        b_(still),
        points_a_(points(moving)),
        points_b_(points(still)) {}

  double least(int steps, int starts) {
    struct Tried {
      double off;
      double at[3];
    };
    std::vector<Tried> tried;
    for (int turn = 0; turn < 36; ++turn) {
      for (const double x : {-3.0, 0.0, 3.0}) {
        for (const double y : {-3.0, 0.0, 3.0}) {
          const double at[3] = {turn * std::numbers::pi / 18.0, x, y};
          tried.push_back({off(at), {at[0], at[1], at[2]}});
        }
      }
    }
    std::sort(tried.begin(), tried.end(), [](const Tried& a, const Tried& b) { return a.off < b.off; });
    Dice dice(7);
    double best = 1e300;
    for (int start = 0; start < starts; ++start) {
      Tried one = tried[static_cast<std::size_t>(start) * 2];
      double reach = 2.0;
      for (int step = 0; step < steps && reach > 1e-5; ++step) {
        Tried next = one;
        next.at[0] += dice(-reach, reach) / 60.0;
        next.at[1] += dice(-reach, reach);
        next.at[2] += dice(-reach, reach);
        next.off = off(next.at);
        reach *= next.off < one.off ? 1.6 : 0.93;
        if (next.off < one.off) one = next;
      }
      const Placement there = placement(one.at);
      best = std::min(best, hausdorff(a_.placed(there.turn, there.shift), b_).value);
    }
    return best;
  }

 private:
  static std::vector<Vec2> points(const ClosedArcPath& path) {
    std::vector<Vec2> out;
    for (std::size_t i = 0; i < path.size(); ++i) {
      for (int k = 0; k < 8; ++k) out.push_back(path.segment(i).point_at(k / 8.0));
    }
    return out;
  }
  [[nodiscard]] Placement placement(const double* at) const {
    const Vec2 middle = bounds(moving_).centre();
    return {Radians(at[0]), bounds(still_).centre() + Vec2{at[1], at[2]} - turned(middle, at[0])};
  }
  [[nodiscard]] double off(const double* at) const {
    const Placement there = placement(at);
    double worst = 0.0;
    for (const Vec2 p : points_a_) worst = std::max(worst, b_.nearest(placed(p, there)).distance);
    for (const Vec2 p : points_b_)
      worst = std::max(worst, a_.nearest(turned(p - there.shift, -there.turn.value())).distance);
    return worst;
  }

  const ClosedArcPath& moving_;
  const ClosedArcPath& still_;
  MeasuredOutline a_;
  MeasuredOutline b_;
  std::vector<Vec2> points_a_;
  std::vector<Vec2> points_b_;
};

double reached(const ClosedArcPath& one, const ClosedArcPath& other, const Lie& lie) {
  return hausdorff(MeasuredOutline(placed(one, lie.placement.turn, lie.placement.shift)),
                   MeasuredOutline(other))
      .value;
}

// A revision of an outline: some corners moved, all of it turned and shifted.
std::pair<ClosedArcPath, ClosedArcPath> revised(std::uint64_t seed) {
  Dice dice(seed + 1000);
  const ClosedArcPath was = blob(seed, 7 + static_cast<int>(seed % 5), 50.0);
  ClosedArcPath now = was;
  const double by = seed % 3 == 0 ? 12.0 : seed % 3 == 1 ? 2.0 : 0.4;
  for (ArcVertex& vertex : now.vertices) {
    if (dice(0.0, 1.0) < 0.5) vertex.at = vertex.at + Vec2{dice(-by, by), dice(-by, by)};
  }
  return {was, placed(now, Radians(dice(-3.0, 3.0)), {dice(-80.0, 80.0), dice(-80.0, 80.0)})};
}

}  // namespace

TEST_CASE("no trial lays two outlines closer than they are said to lie", "[closest]") {
  for (std::uint64_t seed = 1; seed <= 15; ++seed) {
    const auto [was, now] = revised(seed);
    const std::vector<Lie> lies = closest_lies(was, now);
    CAPTURE(seed, lies.front().off);
    CHECK(reached(was, now, lies.front()) == Approx(lies.front().off).margin(3e-4));
    const double trial = Oracle(was, now).least(500, 3);
    CHECK(lies.front().off <= trial + kClosestPrecision.value());
  }
}

TEST_CASE("how close two outlines lie does not depend on which is named first", "[closest]") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const auto [was, now] = revised(seed);
    const std::vector<Lie> lies = closest_lies(was, now, Millimetres(0.3));
    const std::vector<Lie> back = closest_lies(now, was, Millimetres(0.3));
    REQUIRE(lies.size() == back.size());
    CHECK(lies.front().off == back.front().off);
    CHECK(reached(now, was, back.front()) == Approx(back.front().off).margin(3e-4));
  }
}

TEST_CASE("an outline lies on a moved and turned copy of itself, and not on its mirror image", "[closest]") {
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    Dice dice(seed);
    const ClosedArcPath was = blob(seed, 9, 60.0);
    const ClosedArcPath now =
        placed(was, Radians(dice(-3.1, 3.1)), {dice(-300.0, 300.0), dice(-300.0, 300.0)});
    CAPTURE(seed);
    CHECK(closest_lies(was, now).front().off < kClosestPrecision.value());
    ClosedArcPath over = was;
    for (ArcVertex& vertex : over.vertices) vertex = {{-vertex.at.x, vertex.at.y}, -vertex.bulge};
    CHECK(closest_lies(was, over).front().off > 0.5);
  }
}

TEST_CASE("a longer box is told by half of what it is longer, either way round", "[closest]") {
  const ClosedArcPath longer = placed(box_path(101, 30), Radians(2.0), {300, 1});
  const std::vector<Lie> lies = closest_lies(longer, box_path(100, 30), Millimetres(0.51));
  CHECK(lies.front().off == Approx(0.5).margin(kClosestPrecision.value()));
  // The half turn away fits as well, and holes may fit in one of the two alone.
  const auto turned_half = [&](const Lie& lie) {
    const double apart = lie.placement.turn.value() - lies.front().placement.turn.value();
    return std::abs(std::abs(std::remainder(apart, 2.0 * std::numbers::pi)) - std::numbers::pi) < 0.1;
  };
  CHECK(std::any_of(lies.begin(), lies.end(), turned_half));
}
