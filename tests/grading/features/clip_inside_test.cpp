// Lines run on or cut off so that they end on the outline.
#include "grading/features/clip_inside.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "geometry/check/simple.hpp"
#include "geometry/curve/course.hpp"
#include "geometry/offset/parallel.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

TEST_CASE("a clipped line ends on the outline and lies inside it", "[clip]") {
  int clipped = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    const ClosedArcPath outline = test::blob(seed);
    if (!check_simple(outline).ok()) continue;
    for (std::size_t i = 0; i < outline.size(); i += 3) {
      const ArcSegment edge = outline.segment(i);
      const Result<OpenArcPath> line = parallel({{{edge.a, edge.bulge}, {edge.b, 0.0}}}, Millimetres(4.0));
      if (!line) continue;
      const Vec2 middle = line->segment(0).point_at(0.5);
      const ClippedLine all = clip_inside(*line, outline, std::nullopt);
      // What is kept and what is not is the line.
      double kept = 0.0;
      double out = 0.0;
      constexpr int kParts = 400;
      for (int k = 0; k < kParts; ++k) {
        const Vec2 p = Course(*line).at((k + 0.5) / kParts * length(*line)).at;
        (contains(outline, p) ? kept : out) += length(*line) / kParts;
      }
      CAPTURE(seed, i);
      CHECK(all.outside == Approx(out).margin(0.01 * length(*line)));
      REQUIRE(all.parts.empty() == (kept == 0.0));
      const auto inside = std::find_if(all.parts.begin(), all.parts.end(), [&](const OpenArcPath& part) {
        return distance_to(part, middle) < 1e-9;
      });
      REQUIRE((inside != all.parts.end()) == contains(outline, middle));
      if (inside == all.parts.end()) continue;
      ++clipped;
      CHECK(distance_to(outline, inside->vertices.front().at) < 1e-6);
      CHECK(distance_to(outline, inside->vertices.back().at) < 1e-6);
      CHECK(distance_to(*inside, middle) < 1e-9);
      for (std::size_t k = 0; k < inside->size(); ++k) {
        for (const double t : {0.02, 0.3, 0.6, 0.98}) {
          const Vec2 p = inside->segment(k).point_at(t);
          CHECK((contains(outline, p) || distance_to(outline, p) < 1e-6));
        }
      }
    }
  }
  CHECK(clipped > 150);
}

TEST_CASE("a line ends at the nearest edge on either side of its middle", "[clip]") {
  // An outline with a slot: the line runs on to the slot's near wall, not through it.
  const ClosedArcPath outline{{{{0, 0}, 0},
                               {{60, 0}, 0},
                               {{60, 40}, 0},
                               {{42, 40}, 0},
                               {{42, 5}, 0},
                               {{38, 5}, 0},
                               {{38, 40}, 0},
                               {{0, 40}, 0}}};
  const ClippedLine inside = clip_inside({{{{10.0, 20.0}, 0.0}, {{20.0, 20.0}, 0.0}}}, outline, std::nullopt);
  REQUIRE(inside.parts.size() == 1);
  CHECK(distance(inside.parts[0].vertices.front().at, {0.0, 20.0}) < 1e-9);
  CHECK(distance(inside.parts[0].vertices.back().at, {38.0, 20.0}) < 1e-9);
  CHECK(inside.outside == Approx(0.0).margin(1e-9));
  // On the fold an end stays where it is.
  const Mirror fold{{10.0, 0.0}, {0.0, 1.0}};
  const ClippedLine folded = clip_inside({{{{10.0, 20.0}, 0.0}, {{20.0, 20.0}, 0.0}}}, outline, fold);
  REQUIRE(folded.parts.size() == 1);
  CHECK(distance(folded.parts[0].vertices.front().at, {10.0, 20.0}) < 1e-9);
  // Over the slot it has a part on either side; in the slot it has none.
  const ClippedLine over = clip_inside({{{{35.0, 20.0}, 0.0}, {{45.0, 20.0}, 0.0}}}, outline, std::nullopt);
  REQUIRE(over.parts.size() == 2);
  CHECK(distance(over.parts[0].vertices.back().at, {38.0, 20.0}) < 1e-9);
  CHECK(distance(over.parts[1].vertices.back().at, {60.0, 20.0}) < 1e-9);
  CHECK(over.outside == Approx(4.0));
  const ClippedLine none = clip_inside({{{{39.0, 20.0}, 0.0}, {{41.0, 20.0}, 0.0}}}, outline, std::nullopt);
  CHECK(none.parts.empty());
  CHECK(none.outside == Approx(2.0));
}

TEST_CASE("the end of a parallel that stands out beyond a leaning edge ends on that edge", "[clip]") {
  // The right side leans inward going up; a line ends square to the bottom's end, 2 mm above it.
  const ClosedArcPath outline{{{{0, 0}, 0}, {{60, 0}, 0}, {{59, 40}, 0}, {{1, 40}, 0}}};
  const OpenArcPath line{{{{0, 2}, 0}, {{60, 2}, 0}}};
  const OpenArcPath ended = ended_inside(line, outline, 2.0);
  CHECK(distance(ended.vertices.front().at, {0.05, 2.0}) < 1e-9);
  CHECK(distance(ended.vertices.back().at, {59.95, 2.0}) < 1e-9);
  // What stands out by more is a fault and stays to be found; what lies inside, or on the outline, stays.
  const OpenArcPath far{{{{-3, 2}, 0}, {{60, 2}, 0}}};
  CHECK(ended_inside(far, outline, 2.0).vertices.front().at == Vec2{-3, 2});
  CHECK(distance(ended_inside(far, outline, 2.0).vertices.back().at, {59.95, 2.0}) < 1e-9);
  const OpenArcPath within{{{{5, 2}, 0}, {{50, 2}, 0}}};
  CHECK(ended_inside(within, outline, 2.0).vertices == within.vertices);
  CHECK(ended_inside(ended, outline, 2.0).vertices == ended.vertices);
}
