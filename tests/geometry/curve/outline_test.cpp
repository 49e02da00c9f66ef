#include "geometry/curve/outline.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/curve/polygon_contact.hpp"
#include "geometry/tolerance.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

constexpr Millimetres kChainGap = tolerance::kChainGap;

RawOutline ring_of(const std::vector<Vec2>& points) {
  RawOutline raw;
  for (std::size_t i = 0; i < points.size(); ++i)
    raw.curves.push_back(Line{points[i], points[(i + 1) % points.size()]});
  return raw;
}

}  // namespace

TEST_CASE("a slot of two lines and two half circles has its formula's area and length", "[outline]") {
  const Result<ClosedOutline> slot =
      make_closed_outline({{Line{{0, 0}, {30, 0}}, Arc{{30, 0}, {30, 10}, 1.0}, Line{{30, 10}, {0, 10}},
                            Arc{{0, 10}, {0, 0}, 1.0}}},
                          kChainGap);
  REQUIRE(slot.ok());
  CHECK(signed_area(*slot) == Approx(300 + 25 * std::numbers::pi).epsilon(1e-12));
  CHECK(length(*slot) == Approx(60 + 10 * std::numbers::pi).epsilon(1e-12));
  CHECK(bounds(*slot).high.x == Approx(35.0));
}

TEST_CASE("an ellipse alone is a closed outline with area pi a b", "[outline]") {
  const Result<Spline> ellipse =
      ellipse_arc({700, -300}, {40, 30}, 0.6, Radians(0), Radians(2 * std::numbers::pi));
  const Result<ClosedOutline> outline = make_closed_outline({{*ellipse}}, kChainGap);
  REQUIRE(outline.ok());
  CHECK(signed_area(*outline) == Approx(std::numbers::pi * 50 * 30).epsilon(1e-9));
}

TEST_CASE("a clockwise run is turned round", "[outline]") {
  const Result<ClosedOutline> outline =
      make_closed_outline(ring_of({{0, 0}, {0, 10}, {20, 10}, {20, 0}}), kChainGap);
  REQUIRE(outline.ok());
  CHECK(signed_area(*outline) == Approx(200.0));
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(end_of(outline->curves()[i]) == start_of(outline->curves()[(i + 1) % 4]));
  }
}

TEST_CASE("small gaps close at their midpoint, larger ones are named", "[outline]") {
  const Result<OpenChain> chain =
      make_open_chain({{Line{{0, 0}, {10, 0}}, Line{{10, 0.01}, {10, 5}}}}, kChainGap);
  REQUIRE(chain.ok());
  CHECK(end_of(chain->curves()[0]) == start_of(chain->curves()[1]));
  CHECK(end_of(chain->curves()[0]).y == Approx(0.005));
  CHECK(length(*chain) == Approx(10 + 4.995));

  const Result<OpenChain> open =
      make_open_chain({{Line{{0, 0}, {10, 0}}, Line{{10, 0.5}, {10, 5}}}}, kChainGap);
  REQUIRE_FALSE(open.ok());
  CHECK(open.problem().value == Approx(0.5));
  CHECK(open.problem().limit == Approx(0.02));
  CHECK(open.problem().message.find("(10.0000, 0.0000)") != std::string::npos);
}

TEST_CASE("empty runs and curves without length are refused", "[outline]") {
  CHECK_FALSE(make_open_chain({}, kChainGap).ok());
  CHECK_FALSE(make_open_chain({{Line{{1, 1}, {1, 1}}}}, kChainGap).ok());
  CHECK_FALSE(make_open_chain({{Line{{1, std::nan("")}, {1, 1}}}}, kChainGap).ok());
  CHECK_FALSE(make_closed_outline({{Line{{0, 0}, {1, 0}}, Line{{1, 0}, {0, 0}}}}, kChainGap).ok());
}

TEST_CASE("outlines that cross, touch or fold back are refused where they do", "[outline]") {
  struct Case {
    const char* name;
    std::vector<Vec2> points;
    Vec2 at;
  };
  const Case cases[] = {
      {"bow tie", {{0, 0}, {10, 10}, {10, 0}, {0, 10}}, {5, 5}},
      {"vertex on an edge", {{0, 0}, {20, 0}, {20, 10}, {10, 0}, {0, 10}}, {10, 0}},
      {"two vertices in one place", {{0, 0}, {10, 5}, {20, 0}, {20, 10}, {10, 5}, {0, 10}}, {10, 5}},
      {"spike", {{0, 0}, {20, 0}, {20, 10}, {-5, 10}, {0, 10}}, {-5, 10}},
  };
  for (const Case& c : cases) {
    INFO(c.name);
    const Result<ClosedOutline> outline = make_closed_outline(ring_of(c.points), kChainGap);
    REQUIRE_FALSE(outline.ok());
    CHECK(outline.problem().trouble == Trouble::kGeometry);
    const std::optional<Vec2> at = self_contact(c.points, tolerance::kSamePoint);
    REQUIRE(at.has_value());
    CHECK(distance(*at, c.at) < 1e-6);
  }
}

TEST_CASE("a comb with thousands of teeth is simple until one tooth is bent", "[outline]") {
  std::vector<Vec2> comb;
  for (int i = 0; i < 2000; ++i) {
    comb.push_back({i * 1.0, 0.0});
    comb.push_back({i + 0.5, 300.0});
  }
  comb.push_back({2000.0, -5.0});
  comb.push_back({0.0, -5.0});
  CHECK_FALSE(self_contact(comb, tolerance::kSamePoint).has_value());
  comb[1001].x += 2.0;
  CHECK(self_contact(comb, tolerance::kSamePoint).has_value());
}

TEST_CASE("edges apart on one slanted line do not touch, whatever the slant", "[outline]") {
  // A rectangle with a notch in its slanted top: the two parts of the top lie on one line.
  int read = 0;
  for (int degrees = 1; degrees < 360; degrees += 2) {
    for (const double width : {0.5, 3.0, 17.3}) {
      const double angle = degrees * std::numbers::pi / 180.0;
      std::vector<Vec2> points{{0, 0},           {90, 0},  {90, 40}, {60 + width, 40},
                               {60 + width, 30}, {60, 30}, {60, 40}, {0, 40}};
      for (Vec2& p : points) p = turned(p, angle) + Vec2{31.7, 12.9};
      CAPTURE(degrees, width);
      CHECK_FALSE(self_contact(points, tolerance::kSamePoint).has_value());
      // Drawn in four decimals, as exports are.
      for (Vec2& p : points) p = {std::round(1e4 * p.x) / 1e4, std::round(1e4 * p.y) / 1e4};
      CHECK_FALSE(self_contact(points, tolerance::kSamePoint).has_value());
      // A crossing is one at any angle: the notch pulled through the bottom.
      points[4] = points[4] + turned(Vec2{0, -35}, angle);
      CHECK(self_contact(points, tolerance::kSamePoint).has_value());
      ++read;
    }
  }
  CHECK(read == 540);
}
