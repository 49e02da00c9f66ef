// The rim of a sole beyond its insole: by plain geometry, and what is told of one that lies elsewhere.
#include "grading/checks/lasting/sole_rim.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// Two circles of these radii and the lines that touch both: with both larger by a rim it is its offset.
ClosedArcPath like_a_sole(double heel, double toe, double rim = 0.0, Vec2 by = {}) {
  const Vec2 back{heel, 0.0};
  const Vec2 front{280.0 - toe, 0.0};
  // The angle at which the lines touch, from the base line.
  const double at = std::acos((heel - toe) / distance(back, front));
  const double r = heel + rim;
  const double q = toe + rim;
  const Vec2 up{std::cos(at), std::sin(at)};
  const Vec2 down{up.x, -up.y};
  const double pi = std::numbers::pi;
  return {{{by + back + r * up, std::tan(0.25 * (2.0 * pi - 2.0 * at))},
           {by + back + r * down, 0.0},
           {by + front + q * down, std::tan(0.25 * 2.0 * at)},
           {by + front + q * up, 0.0}}};
}
SoleRim sole_rim_of(const ClosedArcPath& insole, const ClosedArcPath& sole) {
  const std::optional<SoleRim> rim = sole_rim(insole, sole, {1.0, 0.0});
  REQUIRE(rim.has_value());
  return *rim;
}
bool even(const SoleRim& rim) {
  return rim.forward == 0.0 && rim.leftward == 0.0;
}

ClosedArcPath turned_in_place(const ClosedArcPath& path, double angle) {
  const Vec2 middle{140.0, 0.0};
  return placed(path, Radians(angle), middle - turned(middle, angle));
}

}  // namespace

TEST_CASE("an even rim is told by its width, and a sole that is shifted along the shoe by its two ends",
          "[silence][sole][law]") {
  test::holds_for_all(
      "by d: -d and +d",
      [] {
        const double rim = *rc::gen::element(2.0, 4.0, 8.0);
        const double d = *rc::gen::inRange(-60, 61) * 0.1;
        const double way = *rc::gen::inRange(0, 360) * std::numbers::pi / 180.0;
        const Vec2 along = turned({1.0, 0.0}, way);
        const auto laid = [&](const ClosedArcPath& path) {
          return placed(path, Radians(way), {70.0, -30.0});
        };
        const ClosedArcPath insole = laid(like_a_sole(30.0, 42.0));
        const auto here = sole_rim(insole, laid(like_a_sole(30.0, 42.0, rim)), along);
        const auto there = sole_rim(insole, laid(like_a_sole(30.0, 42.0, rim, {d, 0.0})), along);
        RC_ASSERT((here && there));
        for (const double one : {here->from, here->to, here->left, here->right})
          RC_ASSERT(std::abs(one - rim) < 1e-6);
        RC_ASSERT((here->forward == 0.0 && here->leftward == 0.0));
        RC_ASSERT(std::abs(there->from - (here->from - d)) < 1e-6);
        RC_ASSERT(std::abs(there->to - (here->to + d)) < 1e-6);
        if (std::abs(std::abs(2.0 * d) - kUnevenRim) < 0.01) return;
        RC_ASSERT((there->forward != 0.0) == (std::abs(2.0 * d) > kUnevenRim));
        RC_ASSERT(there->leftward == 0.0);
      },
      60);
}

TEST_CASE("a sole that lies to one side, is turned, or is wider on one side over a stretch is told",
          "[silence][sole]") {
  const ClosedArcPath insole = like_a_sole(30.0, 42.0);
  const ClosedArcPath sole = like_a_sole(30.0, 42.0, 4.0);
  CHECK(even(sole_rim_of(insole, like_a_sole(30.0, 42.0, 4.0, {0.0, 1.0}))));
  const SoleRim left = sole_rim_of(insole, like_a_sole(30.0, 42.0, 4.0, {0.0, 3.0}));
  CHECK(left.leftward == Catch::Detail::Approx(6.0).margin(0.05));
  CHECK(left.forward == 0.0);
  CHECK(left.at_leftward.y > 0.0);
  CHECK(sole_rim_of(insole, like_a_sole(30.0, 42.0, 4.0, {0.0, -3.0})).at_leftward.y < 0.0);
  // Its toe 3 mm to one side, its heel 3 mm to the other.
  CHECK(std::abs(sole_rim_of(insole, turned_in_place(sole, 3.0 / 140.0)).leftward) > 4.0);
  CHECK(even(sole_rim_of(insole, turned_in_place(sole, 1.0 / 140.0))));
  // A bow of 5 mm in 60 mm of one side.
  ClosedArcPath bowed = sole;
  const Vec2 side = bowed.vertices[2].at - bowed.vertices[1].at;
  const Vec2 from = bowed.vertices[1].at + 0.4 * side;
  bowed.vertices.insert(bowed.vertices.begin() + 2,
                        {{from, 2.0 * 5.0 / 60.0}, {from + 60.0 * unit(side), 0.0}});
  const SoleRim bow = sole_rim_of(insole, bowed);
  CHECK(bow.leftward < -4.0);
  CHECK(bow.at_leftward.y < 0.0);
}

TEST_CASE("a rim that widens from the seat to the forepart, or stands out at a pointed toe, is meant",
          "[silence][sole]") {
  const ClosedArcPath insole = like_a_sole(30.0, 42.0);
  // 2 mm at the seat, 6 mm at the toe.
  ClosedArcPath welted = like_a_sole(32.0, 48.0, 0.0, {-2.0, 0.0});
  for (std::size_t i : {std::size_t{2}, std::size_t{3}}) welted.vertices[i].at.x += 8.0;
  const SoleRim wide = sole_rim_of(insole, welted);
  CHECK(wide.to - wide.from > kUnevenRim);
  CHECK(wide.forward == 0.0);
  const auto kite = [](double back, double front, double half) {
    return ClosedArcPath{
        {{{-back, 0.0}, 0.0}, {{190.0, -half}, 0.0}, {{279.4 + front, 0.0}, 0.0}, {{190.0, half}, 0.0}}};
  };
  // Square to its sides 3 mm all round.
  const double heel = 3.0 / std::sin(std::atan2(45.0, 190.0));
  const double toe = 3.0 / std::sin(std::atan2(45.0, 89.4));
  const double half = (190.0 + heel) * 45.0 / 190.0;
  const SoleRim pointed = sole_rim_of(kite(0.0, 0.0, 45.0), kite(heel, toe, half));
  CHECK(pointed.from - pointed.to > kUnevenRim);
  CHECK(pointed.forward == 0.0);
}

TEST_CASE("the words for a rim name both ends and their figures", "[silence][sole]") {
  const ClosedArcPath insole = like_a_sole(30.0, 42.0);
  const RimNames names{"insole", "outsole", "heel", "toe"};
  const StyleFinding as_meant = sole_rim_finding(sole_rim_of(insole, like_a_sole(30.0, 42.0, 4.0)), names);
  CHECK_FALSE(as_meant.doubtful);
  CHECK(as_meant.worst == Catch::Detail::Approx(4.0).margin(1e-6));
  CHECK_THAT(as_meant.note, Catch::Contains("4.00 mm at heel and 4.00 mm at toe"));
  const StyleFinding off =
      sole_rim_finding(sole_rim_of(insole, like_a_sole(30.0, 42.0, 4.0, {3.0, 0.0})), names);
  CHECK(off.doubtful);
  CHECK(off.worst == Catch::Detail::Approx(6.0).margin(1e-6));
  CHECK_THAT(off.note, Catch::Contains("at toe than at heel") &&
                           Catch::Contains("1.00 mm at heel and 7.00 mm at toe") &&
                           Catch::Contains("common practice"));
}

}  // namespace lastwright
