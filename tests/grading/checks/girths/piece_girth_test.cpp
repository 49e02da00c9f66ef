// How much of a line pieces cover, by hand.
#include "grading/checks/girths/piece_girth.hpp"

#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

ClosedArcPath box(double x0, double y0, double x1, double y1) {
  return {{{{x0, y0}, 0.0}, {{x1, y0}, 0.0}, {{x1, y1}, 0.0}, {{x0, y1}, 0.0}}};
}

PieceGirthPart line_in_pieces(Vec2 from, Vec2 to, const std::vector<const ClosedArcPath*>& outlines) {
  std::vector<Stretch> all;
  for (const ClosedArcPath* outline : outlines) {
    const std::vector<Stretch> own = stretches_inside({from, to, 0.0}, *outline);
    all.insert(all.end(), own.begin(), own.end());
  }
  return laid_on_line(distance(from, to), all);
}

}  // namespace

TEST_CASE("stretches inside pieces are put together, overlaps once", "[girth]") {
  const ClosedArcPath a = box(0, 0, 40, 10);
  const ClosedArcPath b = box(30, 0, 60, 10);
  const ClosedArcPath c = box(70, 0, 90, 10);
  const PieceGirthPart part = line_in_pieces({-10, 5}, {100, 5}, {&a, &b, &c});
  CHECK(part.line == Approx(110));
  CHECK(part.covered == Approx(80).epsilon(1e-12));
  CHECK(part.laid == Approx(90).epsilon(1e-12));
  const PieceGirthPart none = line_in_pieces({0, 20}, {100, 20}, {&a, &b, &c});
  CHECK(none.covered == 0.0);
}

TEST_CASE("a line from edge to edge of pieces that meet is covered whole", "[girth]") {
  const ClosedArcPath a = box(0, 0, 40, 10);
  const ClosedArcPath b = box(40, 0, 60, 10);
  CHECK(line_in_pieces({0, 3}, {60, 7}, {&a, &b}).covered ==
        Approx(distance({0, 3}, {60, 7})).epsilon(1e-12));
}

TEST_CASE("of a line without length nothing lies inside", "[girth]") {
  const ClosedArcPath a = box(0, 0, 40, 10);
  for (const Vec2 at : {Vec2{20, 5}, Vec2{0, 5}, Vec2{40, 10}})
    CHECK(stretches_inside({at, at, 0.0}, a).empty());
}

TEST_CASE("a hollow piece is left and entered again", "[girth]") {
  // A ring segment: a half disc of 30 mm less a half disc of 10 mm, seen along x.
  ClosedArcPath ring{{{{-30, 0}, 0.0}, {{-10, 0}, -1.0}, {{10, 0}, 0.0}, {{30, 0}, 1.0}}};
  REQUIRE(signed_area(ring) > 0.0);
  const PieceGirthPart part = line_in_pieces({-50, 6}, {50, 6}, {&ring});
  CHECK(part.covered == Approx(2 * (std::sqrt(900.0 - 36.0) - 8.0)).epsilon(1e-12));
}

TEST_CASE("random boxes cover as much as a fine comb of points says", "[girth][random]") {
  test::holds_for_all("what is covered is what counting finds", [] {
    std::vector<ClosedArcPath> boxes;
    const int count = *rc::gen::inRange(1, 6);
    for (int i = 0; i < count; ++i) {
      const double x = *rc::gen::inRange(0, 900) / 10.0;
      const double y = *rc::gen::inRange(-100, 40) / 10.0;
      boxes.push_back(box(x, y, x + *rc::gen::inRange(5, 400) / 10.0, y + *rc::gen::inRange(5, 200) / 10.0));
    }
    std::vector<const ClosedArcPath*> outlines;
    for (const ClosedArcPath& one : boxes) outlines.push_back(&one);
    const Vec2 from{0.0, 0.013};
    const Vec2 to{100.0, 4.017};
    constexpr int kTeeth = 5000;
    int inside = 0;
    for (int k = 0; k < kTeeth; ++k) {
      const Vec2 p = lerp(from, to, (k + 0.5) / kTeeth);
      inside +=
          std::any_of(boxes.begin(), boxes.end(), [&](const ClosedArcPath& one) { return contains(one, p); });
    }
    const double counted = distance(from, to) * inside / kTeeth;
    RC_ASSERT(std::abs(line_in_pieces(from, to, outlines).covered - counted) < 0.02 * 2 * count + 1e-9);
  });
}

TEST_CASE("what stretches leave of a line is told where it is wider than the least", "[girth]") {
  const std::vector<Stretch> open = left_open(100, {{40, 60}, {10, 30}, {30.05, 35}, {50, 90}}, 0.1);
  REQUIRE(open.size() == 3);
  CHECK(open[0].from == 0.0);
  CHECK(open[0].to == 10.0);
  CHECK(open[1].from == 35.0);
  CHECK(open[1].to == 40.0);
  CHECK(open[2].from == 90.0);
  CHECK(open[2].to == 100.0);
  CHECK(left_open(100, {{0, 100}}, 0.1).empty());
  CHECK(left_open(100, {}, 0.1).size() == 1);
}

TEST_CASE("covered and open make up the line", "[girth][random]") {
  test::holds_for_all("covered + open = line", [] {
    std::vector<Stretch> stretches;
    for (int i = *rc::gen::inRange(0, 8); i > 0; --i) {
      const double from = *rc::gen::inRange(0, 1000) / 10.0;
      stretches.push_back({from, std::min(100.0, from + *rc::gen::inRange(1, 500) / 10.0)});
    }
    double sum = laid_on_line(100, stretches).covered;
    for (const Stretch& one : left_open(100, stretches, 0.0)) sum += one.to - one.from;
    RC_ASSERT(std::abs(sum - 100.0) < 1e-9);
  });
}
