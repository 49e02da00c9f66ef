// How a smooth line is cut into chords or arcs moves no corner that a style puts on it.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/tolerance.hpp"
#include "grading/redraw/redraw_style.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/low_shoe.hpp"

namespace lastwright {

namespace {

constexpr double kHalf = 139.7;  // mm, of the insole's length: from heel to toe
constexpr double kBow = 45.0;    // mm that either side of the insole bows out: each is one arc
constexpr double kRadius = (kHalf * kHalf + kBow * kBow) / (2.0 * kBow);

double bulge_of(double angle) {
  return std::tan(0.25 * angle);
}

struct BowedVertex {
  Vec2 at;
  double bulge = 0.0;
};

std::string bowed(const std::vector<BowedVertex>& vertices, const char* layer) {
  std::string text = fmt::format("0 LWPOLYLINE|8 {}|90 {}|70 1", layer, vertices.size());
  for (const BowedVertex& one : vertices)
    text += fmt::format("|10 {:.9f}|20 {:.9f}|42 {:.12f}", one.at.x, one.at.y, one.bulge);
  return test::tags(text);
}

// The place of the lower side at that share of it from the heel; of the upper side, mirrored, from the toe.
Vec2 on_side(bool upper, double share) {
  const double half_angle = std::asin(kHalf / kRadius);
  const double angle = half_angle * (2.0 * share - 1.0);
  const Vec2 below{kHalf + kRadius * std::sin(angle), 200.0 - kBow + kRadius * (1.0 - std::cos(angle))};
  return upper ? Vec2{2.0 * kHalf - below.x, 400.0 - below.y} : below;
}

// An insole with a corner at heel and toe. Each side parts at `count - 1` places between them; straight lines
// or arcs run from one to the next.
std::string insole(std::size_t count, double phase, bool arcs) {
  const double whole = 2.0 * std::asin(kHalf / kRadius);
  std::vector<BowedVertex> vertices;
  for (const bool upper : {false, true}) {
    std::vector<double> shares{0.0};
    for (std::size_t i = 1; i < count; ++i)
      shares.push_back((static_cast<double>(i) - phase) / static_cast<double>(count));
    shares.push_back(1.0);
    for (std::size_t i = 0; i + 1 < shares.size(); ++i)
      vertices.push_back(
          {on_side(upper, shares[i]), arcs ? bulge_of(whole * (shares[i + 1] - shares[i])) : 0.0});
  }
  return bowed(vertices, "INSOLE");
}

std::string shoe_with(const std::string& insole) {
  return test::drawing(test::polyline({{279.4, 0}, {200, 40}, {140, 30}, {130, 0}}, "VAMP") +
                       test::polyline({{0, 0}, {130, 0}, {140, 30}, {0, 60}}, "QUARTER") + insole);
}

}  // namespace

TEST_CASE("a corner on a smooth line is found at its place, however the line is cut", "[redraw][law]") {
  const ScratchFolder folder;
  const Vec2 inside = on_side(false, 0.675);
  const Vec2 outside = on_side(true, 0.325);
  const std::string style = test::put_low_shoe(
      folder,
      {{R"("inside": [190, 155])", fmt::format(R"("inside": [{:.4f}, {:.4f}])", inside.x, inside.y)},
       {R"("outside": [190, 245])", fmt::format(R"("outside": [{:.4f}, {:.4f}])", outside.x, outside.y)}});
  std::array<int, 2> between{};  // from an arc, from chords
  std::array<int, 2> at_joints{};
  test::holds_for_all(
      "all corners are found, none off its line, and on chords none moved along it",
      [&] {
        const bool arcs = *rc::gen::inRange(0, 3) == 0;
        // 55 chords leave the arcs by 0.017 mm.
        const auto count =
            static_cast<std::size_t>(arcs ? *rc::gen::inRange(2, 300) : *rc::gen::inRange(55, 700));
        const double phase = *rc::gen::inRange(-45, 46) / 100.0;
        // One arc a side, or chords of which one ends at each corner of the style.
        const bool in_chords = *rc::gen::arbitrary<bool>();
        put(folder.path() / "d.dxf", shoe_with(insole(in_chords ? 200 : 1, 0.0, !in_chords)));
        put(folder.path() / "d2.dxf", shoe_with(insole(count, phase, arcs)));
        RedrawOptions options;
        options.fresh["d"] = folder / "d2.dxf";
        options.names["/drawings/d/file"] = "d2.dxf";
        const Redraw redraw = redraw_style(style, options);
        for (const Problem& problem : redraw.problems) UNSCOPED_INFO(to_text(problem));
        RC_ASSERT(redraw.problems.empty());
        // What was read to a tenth of a millimetre may be taken for the vertex; of arcs, any joint near it.
        const double most = arcs ? tolerance::kCornerSnap.value() + kSameDrawn : 0.1 + kSameDrawn;
        bool joint = false;
        for (const MovedPlace& one : redraw.moved) {
          UNSCOPED_INFO(one.what << " moved by " << distance(one.was, one.now));
          RC_ASSERT(distance(one.was, one.now) <= most);
          RC_ASSERT(one.what.find("corner") != std::string::npos || distance(one.was, one.now) <= kSameDrawn);
          joint = joint || distance(one.was, one.now) > kSameDrawn;
        }
        between[in_chords] += !arcs && !joint;
        at_joints[in_chords] += arcs && joint;
      },
      24);
  for (const std::size_t from : {std::size_t{0}, std::size_t{1}}) {
    CHECK(between[from] > 2);
    CHECK(at_joints[from] > 0);
  }
}

}  // namespace lastwright
