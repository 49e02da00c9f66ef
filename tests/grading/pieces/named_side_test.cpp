#include "grading/pieces/named_side.hpp"

#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("a name says a side by whole words, and inner and outer beside their like alone", "[feet]") {
  CHECK(side_named("QUARTER_OUTSIDE") == NamedSide::kOutside);
  CHECK(side_named("medial quarter") == NamedSide::kInside);
  CHECK(side_named("insider") == NamedSide::kNone);
  CHECK(side_named("outside of the inside quarter") == NamedSide::kNone);
  CHECK(side_named("lateral inside") == NamedSide::kNone);
  CHECK(side_of_piece("outer quarter", {"outer quarter", "Inner Quarter"}) == NamedSide::kOutside);
  CHECK(side_of_piece("outer quarter", {"outer quarter", "inner vamp"}) == NamedSide::kNone);
  CHECK(side_of_piece("outside sole", {}) == NamedSide::kNone);
  const auto of = [](const char* name, const char* layer) {
    PieceSpec piece;
    piece.name = name;
    piece.layer = layer;
    return good_side(piece);
  };
  CHECK(of("quarter outside", "") == GoodSide::kOut);
  CHECK(of("quarter outside", "Linings") == GoodSide::kToFoot);
  CHECK(of("quarter lining outside", "") == GoodSide::kToFoot);
  CHECK(of("facing outside", "") == GoodSide::kUnknown);  // of the upper, or of the lining
  CHECK(of("facing outside", "uppers") == GoodSide::kOut);
  CHECK(of("stiffener outside", "inner parts") == GoodSide::kUnknown);
}

// Seen from the right of a right foot, which is its outside, the toe is at the right: from there the foot
// looks to the right.
TEST_CASE("the foot that a piece shows does not depend on the page", "[feet][law]") {
  CHECK(foot_shown(NamedSide::kOutside, GoodSide::kOut, 1) == "right");
  std::size_t decided = 0;
  test::holds_for_all("turned the same, mirrored the other foot", [&] {
    // A quadrangle over a lasted edge from the origin to the right.
    const double far = *rc::gen::inRange(40, 160);
    const double high = *rc::gen::inRange(8, 90);
    const double lean = *rc::gen::inRange(-60, 61);
    const std::array<Vec2, 2> feather{Vec2{0, 0}, Vec2{far, 0}};
    const std::array<Vec2, 2> above{Vec2{lean, high}, Vec2{far + lean, high}};
    const double angle = *rc::gen::inRange(0, 628) / 100.0;
    const Vec2 off{static_cast<double>(*rc::gen::inRange(-500, 500)), 70.0};
    const auto turn_of = [&](bool over, bool from_toe) {
      const auto placed = [&](Vec2 p) {
        if (over) p.x = -p.x;
        return Vec2{p.x * std::cos(angle) - p.y * std::sin(angle),
                    p.x * std::sin(angle) + p.y * std::cos(angle)};
      };
      AboveFeather lies;
      for (const auto& [places, lasted] : {std::pair{&feather, true}, {&above, false}}) {
        std::array<Vec2, 2> moved;
        for (std::size_t i = 0; i < moved.size(); ++i) moved[i] = placed((*places)[i]) + off;
        lies.add(moved, lasted);
      }
      return lies.turn(placed({from_toe ? -1.0 : 1.0, 0.0}));
    };
    const int turn = turn_of(false, false);
    RC_ASSERT(turn == 1 || (turn == 0 && std::abs(lean) > 1.7 * high));
    RC_ASSERT(turn_of(true, false) == -turn);
    RC_ASSERT(turn_of(false, true) == -turn);
    if (turn == 0) return;
    ++decided;
    for (const GoodSide good : {GoodSide::kOut, GoodSide::kToFoot}) {
      for (const NamedSide side : {NamedSide::kInside, NamedSide::kOutside}) {
        const std::string foot = foot_shown(side, good, turn);
        RC_ASSERT(foot == "left" || foot == "right");
        RC_ASSERT(foot != foot_shown(side, good, turn_of(true, false)));
        const NamedSide other = side == NamedSide::kInside ? NamedSide::kOutside : NamedSide::kInside;
        RC_ASSERT(foot != foot_shown(other, good, turn));
        const GoodSide within = good == GoodSide::kOut ? GoodSide::kToFoot : GoodSide::kOut;
        RC_ASSERT(foot != foot_shown(side, within, turn));
      }
    }
  });
  CHECK(decided > 50);
}
