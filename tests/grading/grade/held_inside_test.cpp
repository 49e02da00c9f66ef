// What lies inside a held strap moves with it, and what is held at a fold stays square to it.
#include "grading/grade/held_inside.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "grading/grade/grade_map.hpp"
#include "grading/grade/held_stretches.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/shell_forme.hpp"

namespace lastwright {
namespace {

using support::english_step;
using support::kMeasures;
using support::shell_forme;

struct Side {
  std::string name;
  bool held;
};

BoundPiece polygon_piece(const std::vector<Vec2>& corners, const std::vector<Side>& sides) {
  BoundPiece piece;
  piece.spec.name = "piece";
  piece.spec.forme = "shell";
  for (std::size_t e = 0; e < corners.size(); ++e) {
    RawOutline raw;
    raw.curves.emplace_back(Line{corners[e], corners[(e + 1) % corners.size()]});
    BoundEdge edge{{}, *make_open_chain(std::move(raw), Millimetres(1e-6))};
    edge.spec.name = sides[e].name;
    edge.spec.held = sides[e].held;
    piece.edges.push_back(std::move(edge));
  }
  return piece;
}

struct GradedBy {
  GradeMap map;
  Drivers drivers;
  Vec2 operator()(Vec2 p) const { return map.graded(p, drivers); }
};

GradedBy graded(const BoundPiece& piece, const GradeStep& step) {
  FormeSpec forme = shell_forme();
  forme.rules.emplace_back(PointRule{"throat", {0.7, 1.1}, {0.1, 0.4}});
  forme.held = held_stretches(forme, {piece});
  GradeMap map = *make_grade_map(forme, kMeasures);
  Drivers drivers = *map.drivers(step);
  return {std::move(map), std::move(drivers)};
}

GradeStep any_step() {
  return english_step(0.5 * *rc::gen::inRange(-8, 12), *rc::gen::inRange(-2, 3));
}

}  // namespace

TEST_CASE("a hole in a held strap keeps its place in it", "[held]") {
  test::holds_for_all(
      "what lies between the held legs of a strap moves as they do",
      [] {
        const double length = *rc::gen::inRange(22, 50);
        const double width = *rc::gen::inRange(6, 11);
        const double way = *rc::gen::inRange(0, 360) * std::numbers::pi / 180.0;
        const Vec2 at{1.0 * *rc::gen::inRange(60, 220), 1.0 * *rc::gen::inRange(30, 90)};
        const Vec2 x{std::cos(way), std::sin(way)};
        const auto place = [&](double along, double across) { return at + along * x + across * left_of(x); };
        BoundPiece strap =
            polygon_piece({place(0, 0), place(length, 0), place(length, width), place(0, width)},
                          {{"l", true}, {"end", true}, {"r", true}, {"root", false}});
        const Vec2 hole =
            place(0.01 * *rc::gen::inRange(20, 90) * length, 0.01 * *rc::gen::inRange(25, 75) * width);
        strap.holes.push_back({hole, 1.5, Operation::kHole, {}});
        const GradedBy now = graded(strap, any_step());
        const Vec2 origin = now(place(0, 0));
        const Vec2 along = unit(now(place(length, 0)) - origin);
        const Vec2 from = hole - place(0, 0);
        const Vec2 expected = origin + dot(from, x) * along + cross(x, from) * left_of(along);
        RC_ASSERT(distance(now(hole), expected) < 1e-6);
      },
      40);
}

TEST_CASE("a held end that meets the fold stays square to it", "[held]") {
  const BoundPiece tab = [] {
    BoundPiece piece =
        polygon_piece({{150, 0}, {280, 0}, {280, 60}, {178, 60}, {178, 8}, {150, 8}}, {{"fold", false},
                                                                                       {"toe", false},
                                                                                       {"side", false},
                                                                                       {"throat", false},
                                                                                       {"tab", true},
                                                                                       {"tab end", true}});
    piece.spec.fold = "fold";
    return piece;
  }();
  test::holds_for_all(
      "the tab's end does not turn",
      [&] {
        const GradedBy now = graded(tab, any_step());
        const Vec2 end = now({150, 8}) - now({150, 0});
        RC_ASSERT(std::abs(end.x) < 1e-7);
        RC_ASSERT(std::abs(norm(end) - 8.0) < 1e-6);
        // The middle of the tab moves with it.
        RC_ASSERT(std::abs(now({178, 8}).x - now({150, 8}).x - 28.0) < 1e-6);
        RC_ASSERT(std::abs(now({178, 0}).x - now({150, 0}).x - 28.0) < 1e-5);
      },
      30);
}

TEST_CASE("a wide held edge that meets the fold stays square to it", "[held]") {
  BoundPiece cap = polygon_piece({{190, 0}, {270, 0}, {255, 40}, {190, 48}},
                                 {{"fold", false}, {"toe", false}, {"side", false}, {"cap", true}});
  cap.spec.fold = "fold";
  test::holds_for_all(
      "the cap's line does not turn",
      [&] {
        const GradedBy now = graded(cap, any_step());
        const Vec2 line = now({190, 48}) - now({190, 0});
        RC_ASSERT(std::abs(line.x) < 1e-7);
        RC_ASSERT(std::abs(norm(line) - 48.0) < 1e-6);
      },
      30);
}

TEST_CASE("what is held inside does not depend on how the run is drawn", "[held]") {
  const std::vector<Vec2> corners{{100, 40}, {140, 44}, {139, 52}, {99, 48}};
  BoundPiece strap = polygon_piece(corners, {{"l", true}, {"end", true}, {"r", true}, {"root", false}});
  strap.spots = {{120, 46}};
  const std::vector<Curve> run{Line{corners[0], corners[1]}, Line{corners[1], corners[2]},
                               Line{corners[2], corners[3]}};
  const std::vector<Curve> back{reversed(run[2]), reversed(run[1]), reversed(run[0])};
  const std::vector<Curve> split{part_of(run[0], 0.0, 0.3), part_of(run[0], 0.3, 1.0), run[1], run[2]};
  const std::vector<Vec2> one = held_inside(strap, run, shell_forme());
  CHECK(one.size() > 3);
  for (const auto& other : {back, split}) {
    const std::vector<Vec2> same = held_inside(strap, other, shell_forme());
    REQUIRE(same.size() == one.size());
    for (std::size_t i = 0; i < one.size(); ++i) CHECK(distance(one[i], same[i]) < 1e-5);
  }
  // A wide run is no strap: what lies inside grades as it did.
  BoundPiece wide = polygon_piece({{40, 20}, {200, 20}, {200, 60}, {40, 60}},
                                  {{"bottom", true}, {"a", false}, {"b", false}, {"c", false}});
  wide.spots = {{100, 40}};
  CHECK(held_inside(wide, {Line{{40, 20}, {200, 20}}}, shell_forme()).empty());
}

}  // namespace lastwright
