#include "grading/pieces/first/first_corners.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <vector>

#include "geometry/curve/curve_measure.hpp"
#include "grading/pieces/drawing/outline_split.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

struct FirstEdges {
  std::vector<BoundEdge> edges;
  std::vector<std::string> guesses;
};
FirstEdges first_edges(std::vector<Curve> curves) {
  const Result<ClosedOutline> outline = make_closed_outline({std::move(curves)}, Millimetres(1e-6));
  if (!outline) FAIL(to_text(outline.problem()));
  FirstEdges result;
  PieceSpec piece;
  piece.name = "panel";
  add_corners(*outline, tolerance::kCorner, piece, result.guesses);
  const Result<SplitOutline> split = split_outline(*outline, piece, FormeSpec{});
  if (!split) FAIL(to_text(split.problem()));
  result.edges = split->edges;
  return result;
}

double length_of(const BoundEdge& edge) {
  double sum = 0.0;
  for (const Curve& curve : edge.chain.curves()) sum += length(curve);
  return sum;
}

// How a corner of a polygon may be drawn: as one vertex, cut off, rounded by an arc that is tangent to
// neither side, or by chords.
std::vector<Curve> drawn_corner(int kind, Vec2 before, Vec2 at, Vec2 after) {
  const Vec2 middle = lerp(at, lerp(before, after, 0.5), 0.3);
  if (kind == 1) return {Line{before, after}};
  if (kind == 2) return {Arc{before, after, 0.05}};
  return {Line{before, middle}, Line{middle, after}};
}

}  // namespace

TEST_CASE("no edge of a first style is shorter than the least, however its corners are drawn",
          "[first][random]") {
  std::size_t joined = 0;
  test::holds_for_all(
      "corners cut off, rounded and drawn in bits, and sides with a jog",
      [&] {
        const int count = *rc::gen::inRange(4, 9);
        std::vector<Vec2> corners;
        for (int i = 0; i < count; ++i) {
          const double turn = (i + *rc::gen::inRange(0, 40) / 100.0) * 2.0 * std::numbers::pi / count;
          corners.push_back({100.0 * std::cos(turn), 60.0 * std::sin(turn)});
        }
        const auto corner = [&](int i) { return corners[static_cast<std::size_t>((i + count) % count)]; };
        std::vector<Curve> curves;
        Vec2 from = corner(0);
        const Vec2 first = from;
        std::size_t odd = 0;
        for (int i = 1; i <= count; ++i) {
          const Vec2 along = unit(corner(i) - corner(i - 1));
          if (*rc::gen::inRange(0, 4) == 0) {
            const Vec2 here = lerp(from, corner(i), 0.5);
            const Vec2 there = here + 0.02 * along + *rc::gen::inRange(1, 20) / 100.0 * left_of(along);
            curves.insert(curves.end(), {Line{from, here}, Line{here, there}});
            from = there;
            ++odd;
          }
          const int kind = i < count ? *rc::gen::inRange(0, 4) : 0;
          if (kind == 0) {
            curves.emplace_back(Line{from, corner(i)});
            from = corner(i);
            continue;
          }
          const double size = std::pow(10.0, -*rc::gen::inRange(70, 300) / 100.0);  // 0.001 to 0.2 mm
          const Vec2 before = corner(i) - size * along;
          const Vec2 after = corner(i) + size * unit(corner(i + 1) - corner(i));
          curves.emplace_back(Line{from, before});
          for (const Curve& one : drawn_corner(kind, before, corner(i), after)) curves.push_back(one);
          from = after;
          ++odd;
        }
        RC_ASSERT(distance(from, first) < 1e-9);
        const FirstEdges is = first_edges(curves);
        // Each corner of the polygon is one, and there are no others.
        RC_ASSERT(is.edges.size() == corners.size());
        for (const BoundEdge& edge : is.edges) {
          RC_ASSERT(length_of(edge) >= kShortestEdge);
          const Vec2 at = start_of(edge.chain.curves().front());
          RC_ASSERT(std::any_of(corners.begin(), corners.end(),
                                [&](Vec2 one) { return distance(one, at) < kShortestEdge; }));
        }
        // What was joined is told.
        RC_ASSERT(std::any_of(is.guesses.begin(), is.guesses.end(), [](const std::string& one) {
                    return one.find("shorter than 0.5 mm, between two breaks") != std::string::npos;
                  }) == (odd > 0));
        joined += odd;
      },
      60);
  CHECK(joined > 60);
}

TEST_CASE("a bit between a straight line and a curve goes to the curve, and a short edge at the limit stays",
          "[first]") {
  // A fold from (0, 0) to (100, 0), cut off at either end towards curves that turn less there.
  for (const double bit : {0.006, 0.3}) {
    const FirstEdges is =
        first_edges({Line{{0, 0}, {100, 0}}, Line{{100, 0}, Vec2{100, 0} + bit * unit(Vec2{4, 1})},
                     Arc{Vec2{100, 0} + bit * unit(Vec2{4, 1}), {50, 60}, 0.3},
                     Arc{{50, 60}, bit * unit(Vec2{-4, 1}), 0.3}, Line{bit * unit(Vec2{-4, 1}), {0, 0}}});
    REQUIRE(is.edges.size() == 3);
    CHECK(is.edges[0].chain.curves().size() == 1);
    CHECK(length_of(is.edges[0]) == Approx(100.0));
  }
  // A tab of 0.6 mm is drawn to be there, one of 0.4 mm is not.
  const auto tab = [](double wide) {
    return first_edges({Line{{0, 0}, {50, 0}}, Line{{50, 0}, {50, 30}}, Line{{50, 30}, {50 - wide, 30}},
                        Line{{50 - wide, 30}, {0, 0}}})
        .edges.size();
  };
  CHECK(tab(0.6) == 4);
  CHECK(tab(0.4) == 3);
}
