#include "cli/drawings/roll_fill.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/convex_region.hpp"
#include "geometry/io/paper/sheet_place.hpp"

namespace lastwright {

namespace {

RollDrawing drawing_of(const Polygon& polygon, bool grain) {
  RollDrawing drawing;
  for (const Vec2 p : polygon) drawing.outline.vertices.push_back({p, 0.0});
  drawing.sheet.title = "piece";
  drawing.sheet.outlines.push_back({drawing.outline, Operation::kCut});
  drawing.sheet.lines.push_back({{{{{10, 5}, 0.0}, {{30, 5}, 0.0}}}, Operation::kGrain});
  drawing.grain = grain;
  return drawing;
}

Polygon drawn(const SheetOutline& outline) {
  Polygon polygon;
  for (const auto& vertex : outline.path.vertices) polygon.push_back(vertex.at);
  return polygon;
}

}  // namespace

// Right triangles of 100 x 60: two of them turned against each other take about the room of one box.
TEST_CASE("drawings on a roll lie apart, on it, turned no more than their grain lets them", "[plot]") {
  for (const bool grain : {true, false}) {
    std::vector<RollDrawing> drawings;
    for (int k = 0; k < 8; ++k)
      drawings.push_back(drawing_of({{0, 0}, {100.0 - 2.0 * k, 0}, {0, 60.0 + k}}, grain));
    const RollOptions options{.width = 230.0, .gap = 4.0, .length = 4 * 70.0};
    const std::optional<Sheet> roll = roll_filled(drawings, options);
    REQUIRE(roll);
    REQUIRE(roll->outlines.size() == drawings.size());
    const Box2 box = shape_bounds(*roll);
    CHECK(box.low.x > -1e-6);
    CHECK(box.high.x < options.width + 1e-6);
    CHECK(box.low.y > -1e-6);
    CHECK(box.high.y < options.length);
    CHECK(box.high.y < 200.0);  // four rows of two boxes take 258 mm
    for (std::size_t i = 0; i < drawings.size(); ++i) {
      const Polygon one = drawn(roll->outlines[i]);
      CHECK(signed_area(one) > 0.0);  // never turned over
      for (std::size_t k = 0; k < i; ++k) {
        const Polygon other = drawn(roll->outlines[k]);
        CHECK(signed_area(clipped(one, other)) < 1e-6);
        for (const Vec2 p : one) {
          for (const Vec2 q : other) CHECK(distance(p, q) > options.gap - 1e-3);
        }
      }
      const auto& path = roll->lines[i].path.vertices;
      const Vec2 along = path.back().at - path.front().at;
      const double off = grain ? std::abs(along.y) : std::min(std::abs(along.y), std::abs(along.x));
      CHECK(off < 1e-9);
    }
    CHECK(roll->texts.size() == drawings.size());
    CHECK_FALSE(roll_filled(drawings, {.width = 230.0, .gap = 4.0, .length = 100.0}));
  }
}

}  // namespace lastwright
