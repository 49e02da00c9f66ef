#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "grading/planning/consumption.hpp"
#include "grading/planning/hide_drawing.hpp"

namespace lastwright {

namespace {

DrawnPath drawn_box(Vec2 low, Vec2 high, const std::string& layer) {
  const Vec2 at[] = {low, {high.x, low.y}, high, {low.x, high.y}};
  DrawnPath path;
  for (int k = 0; k < 4; ++k) path.curves.emplace_back(Line{at[k], at[(k + 1) % 4]});
  path.closed = true;
  path.from.layer = layer;
  return path;
}

DrawnPath drawn_square(double low, double high, const std::string& layer) {
  return drawn_box({low, low}, {high, high}, layer);
}

}  // namespace

// Laid at random on a disc with round holes, square by square: no formula of the program is used.
TEST_CASE("the law by area and edge holds for a hide with holes", "[planning]") {
  constexpr double kSide = 10.0;
  constexpr double kDisc = 100.0;
  constexpr double kHole = 2.0;
  constexpr int kHoles = 8;
  std::vector<Vec2> holes;
  for (int k = 0; k < kHoles; ++k)
    holes.push_back(
        {60.0 * std::cos(k * std::numbers::pi / 4.0), 60.0 * std::sin(k * std::numbers::pi / 4.0)});
  std::minstd_rand numbers(7);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  constexpr int kLays = 300;
  long whole = 0;
  for (int lay = 0; lay < kLays; ++lay) {
    const double angle = 2.0 * std::numbers::pi * part(numbers);
    const Vec2 along{std::cos(angle), std::sin(angle)};
    const Vec2 shift{part(numbers), part(numbers)};
    for (int i = -12; i <= 12; ++i) {
      for (int j = -12; j <= 12; ++j) {
        // In the squares' own frame.
        const Vec2 low{kSide * (i + shift.x), kSide * (j + shift.y)};
        const Vec2 high = low + Vec2{kSide, kSide};
        const Vec2 far{std::max(std::abs(low.x), std::abs(high.x)),
                       std::max(std::abs(low.y), std::abs(high.y))};
        if (std::hypot(far.x, far.y) > kDisc) continue;
        const bool clear = std::all_of(holes.begin(), holes.end(), [&](Vec2 hole) {
          const Vec2 at{dot(hole, along), cross(along, hole)};
          const double x = std::max({low.x - at.x, at.x - high.x, 0.0});
          const double y = std::max({low.y - at.y, at.y - high.y, 0.0});
          return std::hypot(x, y) >= kHole;
        });
        if (clear) ++whole;
      }
    }
  }
  ScaleArea square;
  square.hull_area = square.lattice.per_shape = kSide * kSide;
  square.hull_perimeter = 4.0 * kSide;
  HideSpec hide;
  hide.area = std::numbers::pi * (kDisc * kDisc - kHoles * kHole * kHole);
  hide.perimeter = 2.0 * std::numbers::pi * (kDisc + kHoles * kHole);
  hide.holes = kHoles;
  CHECK(held_by_law(hide, square) == Approx(static_cast<double>(whole) / kLays).epsilon(0.003));
}

TEST_CASE("what bounds a drawn hide is its edge and the edges of its holes", "[planning]") {
  Drawing drawing;
  drawing.paths = {drawn_square(0.0, 100.0, "hide"), drawn_square(20.0, 30.0, "hole")};
  Result<HideDrawing> hide = hide_of(drawing, Millimetres(0.5));
  REQUIRE(hide.ok());
  CHECK(hide->bounded_by == Approx(440.0));
  CHECK(hide->holes_within == 1);
  CHECK(hide->notes.empty());
  // Over the edge, a hole is a notch: 20 mm of the edge go and 20 mm come.
  drawing.paths = {drawn_square(0.0, 100.0, "hide"), drawn_square(-10.0, 10.0, "hole")};
  hide = hide_of(drawing, Millimetres(0.5));
  REQUIRE(hide.ok());
  CHECK(hide->usable() == Approx(9900.0));
  CHECK(hide->bounded_by == Approx(400.0));
  CHECK(hide->holes_within == 0);
  drawing.paths = {drawn_square(0.0, 100.0, "hide"), drawn_square(20.0, 30.0, "hole"),
                   drawn_square(25.0, 35.0, "hole")};
  hide = hide_of(drawing, Millimetres(0.5));
  REQUIRE(hide.ok());
  CHECK(hide->notes.empty());
  CHECK(hide->hole_area == Approx(175.0));
  CHECK(hide->bounded_by == Approx(460.0));
  CHECK(hide->holes_within == 1);
  // Three over one another, one of them twice, one inside, and one beside that only touches.
  const auto square = [](double low, double high) { return drawn_square(low, high, "hole"); };
  drawing.paths = {drawn_square(0.0, 100.0, "hide"),
                   square(20.0, 30.0),
                   square(25.0, 35.0),
                   square(25.0, 35.0),
                   square(22.0, 33.0),
                   square(26.0, 28.0),
                   square(35.0, 40.0),
                   square(90.0, 110.0)};
  hide = hide_of(drawing, Millimetres(0.5));
  REQUIRE(hide.ok());
  // 100 and 121 less 64 that they share; of the next 100 all but 64; 25; and the corner of 100.
  CHECK(hide->hole_area == Approx(100.0 + 121.0 - 64.0 + 100.0 - 64.0 + 25.0 + 100.0));
  // Steps keep the length of the square round them, 15 a side; the corner takes as much as it gives.
  CHECK(hide->bounded_by == Approx(400.0 + 60.0 + 20.0));
  CHECK(hide->holes_within == 2);
  // Of two beside each other the edge between them is none.
  drawing.paths = {drawn_square(0.0, 100.0, "hide"), drawn_box({60.0, 20.0}, {70.0, 30.0}, "hole"),
                   drawn_box({70.0, 20.0}, {80.0, 30.0}, "hole")};
  hide = hide_of(drawing, Millimetres(0.5));
  REQUIRE(hide.ok());
  CHECK(hide->bounded_by == Approx(400.0 + 60.0));
}

TEST_CASE("a drawing without the outline of a hide is refused with what it has", "[planning]") {
  const auto refused = [](const Drawing& drawing) {
    const Result<HideDrawing> hide = hide_of(drawing, Millimetres(0.5));
    REQUIRE_FALSE(hide.ok());
    return hide.problem();
  };
  Drawing drawing;
  CHECK(refused(drawing).message.find("has no closed line, on the layer hide or another") !=
        std::string::npos);
  // One hole, one zone or one direction alone is no hide.
  for (const char* const layer : {"hole", "HOLES", "zone best"}) {
    drawing.paths = {drawn_square(0.0, 100.0, layer)};
    CHECK(refused(drawing).message.find("lie on the layer \"" + std::string(layer) + "\"") !=
          std::string::npos);
  }
  drawing.paths = {drawn_square(0.0, 100.0, "direction")};
  CHECK_FALSE(hide_of(drawing, Millimetres(0.5)).ok());
  drawing.paths = {drawn_square(0.0, 100.0, "edge"), drawn_square(20.0, 30.0, "hole")};
  CHECK(refused(drawing).message.find("lie on the layers \"edge\", \"hole\"") != std::string::npos);
  drawing.circles = {{{50.0, 50.0}, 500.0, {}}};
  drawing.circles[0].from.layer = "Hide";
  drawing.circles[0].from.line = 17;
  CHECK(refused(drawing).message.find("on the layer Hide lies a circle") != std::string::npos);
  CHECK(refused(drawing).place.line == 17);
  drawing.circles.clear();
  drawing.left_out = {{{}, "HATCH"}};
  drawing.left_out[0].from.layer = "hide";
  CHECK(refused(drawing).message.find("what is not read (HATCH)") != std::string::npos);
  // An open line there is told as what it is, where it is.
  drawing.left_out.clear();
  drawing.paths.push_back(drawn_square(0.0, 100.0, "hide"));
  drawing.paths.back().curves.pop_back();
  drawing.paths.back().closed = false;
  CHECK(refused(drawing).message.find("does not close") != std::string::npos);
  // What one closed line by itself is needs no name.
  drawing.paths = {drawn_square(0.0, 100.0, "0")};
  CHECK(hide_of(drawing, Millimetres(0.5)).ok());
}

}  // namespace lastwright
