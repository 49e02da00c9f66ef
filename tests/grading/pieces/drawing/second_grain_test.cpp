// What is drawn beside a grain line on its layer: heads of its arrow are its own, all else is told.
#include "grading/pieces/drawing/second_grain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

Contour on_grain_layer(const std::vector<Vec2>& points) {
  Contour contour;
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    contour.raw.curves.emplace_back(Line{points[i], points[i + 1]});
  return contour;
}

}  // namespace

TEST_CASE("a second grain line is told, and heads of an arrow are not", "[grain][law]") {
  test::holds_for_all("of a grain line's layer nothing is lost in silence", [] {
    const double degrees = *rc::gen::inRange(0, 360);
    const Vec2 along = turned({1.0, 0.0}, degrees * 3.14159265358979323846 / 180.0);
    const Vec2 from{*rc::gen::inRange(-200, 200) * 1.0, *rc::gen::inRange(-200, 200) * 1.0};
    const double long_as = *rc::gen::inRange(20, 120);
    const BoundAxis grain{from, from + long_as * along, {}};
    RC_ASSERT(!second_grain(on_grain_layer({grain.from, grain.to}), grain));
    // A head at either end, as strokes or as a triangle that is open or closed.
    const double head = *rc::gen::inRange(10, 30) / 100.0 * long_as;
    for (const Vec2 tip : {grain.from, grain.to}) {
      const Vec2 back = tip == grain.from ? along : -along;
      const Vec2 a = tip + head * turned(back, 0.4);
      const Vec2 b = tip + head * turned(back, -0.4);
      RC_ASSERT(!second_grain(on_grain_layer({a, tip, b}), grain));
      RC_ASSERT(!second_grain(on_grain_layer({tip, a}), grain));
      RC_ASSERT(!second_grain(on_grain_layer({tip, a, b, tip}), grain));
    }
    // Another line: elsewhere, or across this one and no head.
    const double turn = *rc::gen::inRange(0, 180);
    const double other = *rc::gen::inRange(40, 100) / 100.0 * long_as;
    const Vec2 way = turned(along, turn * 3.14159265358979323846 / 180.0);
    const Vec2 start = from + 3.0 * left_of(along) + 0.3 * long_as * along;
    const auto told = second_grain(on_grain_layer({start, start + other * way}), grain);
    RC_ASSERT(told.has_value());
    RC_ASSERT(told->find(fmt::format("at {:.1f} degrees to it", std::min(turn, 180.0 - turn))) !=
              std::string::npos);
    RC_ASSERT(second_grain(on_grain_layer({start, start + 0.1 * long_as * way}), grain).has_value());
  });
}

}  // namespace lastwright
