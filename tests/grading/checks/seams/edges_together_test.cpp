// How two edges lie to each other, by hand and on random arcs.
#include "grading/checks/seams/edges_together.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("what lies on each other over a part is told to a two hundredth", "[together]") {
  const OpenArcPath one{{{{0, 0}, 0.0}, {{100, 0}, 0.0}}};
  const OpenArcPath other{{{{160, 0}, 0.0}, {{40, 0}, 0.0}}};  // runs back, over 60 mm of it
  CHECK(length_on(one, other) == Approx(60.0).margin(0.5));
  CHECK(length_on(other, one) == Approx(60.0).margin(0.6));
  const OpenArcPath beside{{{{0, 0.05}, 0.0}, {{100, 0.05}, 0.0}}};
  CHECK(length_on(one, beside) == 0.0);
  CHECK(length_on(one, beside, 0.06) == Approx(100.0));
  CHECK(apart(one, beside) == Approx(0.05));
  CHECK(apart(one, other) == Approx(60.0));
}

TEST_CASE("how far edges lie apart does not hang on where their segments end", "[together]") {
  // An arc that rises most at five sixths of it: 0.07 mm at its middle, 0.08 mm at its end.
  const OpenArcPath straight{{{{0, 0}, 0.0}, {{100, 0}, 0.0}}};
  const OpenArcPath risen{{{{0, 0}, -0.001}, {{60, 0.08}, 0.0}, {{100, 0}, 0.0}}};
  CHECK(apart(straight, risen) == Approx(0.08333).margin(2e-5));
  CHECK(apart(risen, straight) == Approx(0.08333).margin(2e-5));
}

TEST_CASE("a path lies on its parts and on itself run backwards", "[together][random]") {
  test::holds_for_all("on itself, and off what is moved", [] {
    OpenArcPath path;
    double x = 0.0;
    for (int i = *rc::gen::inRange(2, 6); i > 0; --i) {
      path.vertices.push_back({{x, *rc::gen::inRange(-200, 201) / 10.0}, *rc::gen::inRange(-60, 61) / 100.0});
      x += *rc::gen::inRange(50, 300) / 10.0;
    }
    path.vertices.back().bulge = 0.0;
    const OpenArcPath back = reversed(path);
    const double whole = length(path);
    RC_ASSERT(std::abs(length_on(path, back) - whole) < 1e-6);
    RC_ASSERT(apart(path, back) < 1e-6);
    const double by = *rc::gen::inRange(20, 900) / 1000.0;
    const OpenArcPath moved = placed(path, Radians(0.0), {0.0, by});
    RC_ASSERT(std::abs(apart(path, moved) - apart(moved, path)) <= kApartPrecision + 1e-6);
    RC_ASSERT(apart(path, moved) <= by + 1e-6);
    // Cut in two anywhere it is the same path.
    OpenArcPath cut;
    const double at = *rc::gen::inRange(5, 96) / 100.0;
    for (std::size_t i = 0; i < path.size(); ++i) {
      const ArcSegment segment = path.segment(i);
      cut.vertices.push_back({segment.a, segment.part(0.0, at).bulge});
      cut.vertices.push_back({segment.point_at(at), segment.part(at, 1.0).bulge});
    }
    cut.vertices.push_back(path.vertices.back());
    RC_ASSERT(std::abs(apart(cut, moved) - apart(path, moved)) <= kApartPrecision + 1e-6);
    // In three parts, each lies on the whole; together they are as long.
    OpenArcPath first;
    first.vertices.assign(path.vertices.begin(), path.vertices.begin() + 2);
    first.vertices.back().bulge = 0.0;
    RC_ASSERT(std::abs(length_on(first, path) - length(first)) < 1e-6);
    RC_ASSERT(length_on(path, first) >= length(first) - whole / 100.0);
  });
}
