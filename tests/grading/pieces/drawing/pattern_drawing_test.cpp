// Chords faired in a whole drawing: what two outlines share stays shared.
#include "grading/pieces/drawing/pattern_drawing.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "tests/support/box_drawing.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

double off(const std::vector<Curve>& curves, Vec2 p) {
  double least = INFINITY;
  for (const Curve& curve : curves) least = std::min(least, nearest(curve, p).distance);
  return least;
}

}  // namespace

TEST_CASE("outlines that share chords share them faired, wherever the one's corner lies in the other",
          "[fair][law]") {
  test::holds_for_all("the shared stretch is one", [] {
    const int count = *rc::gen::inRange(60, 120);
    const int meets = *rc::gen::inRange(12, count - 12);  // where the mate's corner is
    const double bent = *rc::gen::inRange(5, 30) / 1e4;
    const double wave = *rc::gen::inRange(0, 40) / 10.0;
    std::vector<Vec2> line;
    for (int i = 0; i <= count; ++i) {
      const double x = 2.0 * i + 0.3 * std::sin(1.7 * i);
      line.push_back({x, bent * x * x + wave * std::sin(0.03 * x)});
    }
    std::vector<Vec2> whole = line;
    whole.push_back({line.back().x, 300});
    whole.push_back({line.front().x, 300});
    // The mate lies on the other side of the line's first part, and walks it the other way.
    std::vector<Vec2> mate(line.begin(), line.begin() + meets + 1);
    std::reverse(mate.begin(), mate.end());
    mate.push_back({line.front().x, -200});
    mate.push_back({line[static_cast<std::size_t>(meets)].x, -200});
    Drawing drawing;
    drawing.paths = {test::polygon(whole, "1", "A"), test::polygon(mate, "1", "B")};
    DrawingSpec spec;
    spec.fair = FairSpec{Millimetres(0.02), 20.0};
    const PatternDrawing faired = pattern_drawing(std::move(drawing), spec);
    RC_ASSERT(faired.contours.size() == 2u);
    RC_ASSERT(faired.faired.chords > 20u);
    const auto& one = faired.contours[0].contour.raw.curves;
    const auto& other = faired.contours[1].contour.raw.curves;
    const bool first_is_whole = faired.contours[0].contour.from.block == "A";
    const auto& all = first_is_whole ? one : other;
    const auto& part = first_is_whole ? other : one;
    for (const Curve& curve : part) {
      for (const Vec2 p : flattened(curve, Millimetres(0.01))) {
        if (p.y > -100.0 && p.x > line.front().x + 1e-6 &&
            p.x < line[static_cast<std::size_t>(meets)].x - 1e-6)
          RC_ASSERT(off(all, p) < 1e-6);
      }
    }
    for (std::size_t i = 1; i + 1 < line.size(); ++i) {
      // A vertex that lies on the straight between its neighbours is a place on one chord, and not asked for.
      const Vec2 chord = unit(line[i + 1] - line[i - 1]);
      if (std::abs(cross(chord, line[i] - line[i - 1])) > 3e-5) RC_ASSERT(off(all, line[i]) <= 0.02 + 1e-9);
    }
  });
}

}  // namespace lastwright
