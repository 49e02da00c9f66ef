// Corners on smooth lines are found where they are drawn now, or refused: never kept because a line still
// runs where they were.
#include "grading/redraw/corner_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/curve/fair.hpp"
#include "geometry/tolerance.hpp"
#include "geometry/units.hpp"
#include "grading/redraw/drawn_things.hpp"
#include "grading/redraw/like_joint.hpp"
#include "grading/redraw/redraw_edits.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

struct RoundStrap {
  double width = 14.0;
  std::size_t chords = 0;  // of the round end; 0: an arc
  double step = 0.0;       // mm between the vertices of the sides; 0: none
  double start = 0.0;      // x of the other end
  bool both = false;       // that one is round too
};

std::vector<Curve> closed_lines(const std::vector<Vec2>& points) {
  std::vector<Curve> curves;
  for (std::size_t i = 0; i < points.size(); ++i)
    curves.emplace_back(Line{points[i], points[(i + 1) % points.size()]});
  return curves;
}

// The middle of its length is the x axis. From a square end, or a round one, to one that begins at `length`.
OutlineRuler round_strap(const RoundStrap& strap, double length) {
  const double half = 0.5 * strap.width;
  std::vector<Vec2> points{{strap.start, -half}};
  for (double x = strap.start + strap.step; strap.step > 0.0 && x < length - 1e-6; x += strap.step)
    points.push_back({x, -half});
  points.push_back({length, -half});
  const auto round_end = [&](Vec2 from, double way) {
    for (std::size_t i = 1; i < strap.chords; ++i) {
      const double angle = std::numbers::pi * static_cast<double>(i) / static_cast<double>(strap.chords);
      points.push_back({from.x + way * half * std::sin(angle), -way * half * std::cos(angle)});
    }
  };
  const std::size_t before = points.size() - 1;
  round_end({length, 0}, 1.0);
  points.push_back({length, half});
  points.push_back({strap.start, half});
  const std::size_t last = points.size() - 1;
  if (strap.both) round_end({strap.start, 0}, -1.0);
  std::vector<Curve> curves = closed_lines(points);
  if (strap.chords == 0) curves[before] = Arc{{length, -half}, {length, half}, 1.0};
  if (strap.chords == 0 && strap.both) curves[last] = Arc{{strap.start, half}, {strap.start, -half}, 1.0};
  return OutlineRuler(std::move(curves));
}

// Its four joints, and the tip of the round end.
std::vector<Vec2> strap_places(const RoundStrap& strap, double length) {
  const double half = 0.5 * strap.width;
  return {{strap.start, -half}, {length, -half}, {length, half}, {strap.start, half}, {length + half, 0}};
}

}  // namespace

TEST_CASE("where a strap's round end begins is found at its new place or refused", "[redraw][law]") {
  int kept_vertex = 0;
  int moved = 0;
  test::holds_for_all("a corner is found where it is drawn, or refused", [&] {
    RoundStrap strap;
    strap.width = *rc::gen::inRange(8, 30);
    strap.chords = *rc::gen::element(0, 8, 14, 40);
    strap.both = *rc::gen::arbitrary<bool>();
    const double length = *rc::gen::inRange(60, 250);
    const OutlineRuler was = round_strap(strap, length);
    const std::vector<Vec2> places = strap_places(strap, length);
    const double longer = *rc::gen::inRange(-110, 111) / 10.0;
    RC_PRE(std::abs(longer) > 0.2);
    const bool elsewhere = *rc::gen::element(false, false, true);
    if (elsewhere) {
      strap.start = *rc::gen::inRange(-110, 111) / 10.0;
      strap.width += *rc::gen::inRange(-20, 60) / 10.0;
      strap.chords = *rc::gen::element(strap.chords, std::size_t{8}, std::size_t{16});
    }
    // The old places may still have a vertex: the sides are drawn on in chords.
    strap.step = *rc::gen::element(0.0, length / 40.0, length);
    const OutlineRuler now = round_strap(strap, length + longer);
    const std::vector<Vec2> there = strap_places(strap, length + longer);
    const CornersFound found = match_corners(was, now, places, {});
    for (std::size_t i = 0; i < places.size(); ++i) {
      if (!found.corners[i].problem.empty()) {
        RC_ASSERT(distance(places[i], there[i]) > kSameDrawn);
        continue;
      }
      RC_ASSERT(distance(found.corners[i].at, there[i]) < 0.06);
      if (i > 0 && i < 3 && found.corners[i].how == FoundHow::kMoved) ++moved;
    }
    if (strap.step > 0.0 && longer > 0.0) ++kept_vertex;
  });
  CHECK(kept_vertex > 5);
  CHECK(moved > 50);
}

TEST_CASE("where a strap's round end begins goes with the end that is drawn longer", "[redraw]") {
  for (const std::size_t chords : {0, 16}) {
    for (const double step : {0.0, 40.0}) {
      RoundStrap strap;
      strap.chords = chords;
      const OutlineRuler was = round_strap(strap, 245);
      strap.step = step;  // other joints on its sides: the line at the joint alone tells which it is
      const CornersFound found =
          match_corners(was, round_strap(strap, 253), {{0, -7}, {245, -7}, {245, 7}, {0, 7}}, {});
      for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(chords, step, i, found.corners[i].problem);
        REQUIRE(found.corners[i].problem.empty());
        CHECK(found.corners[i].how == (i == 1 || i == 2 ? FoundHow::kMoved : FoundHow::kSame));
        CHECK(found.corners[i].at.x == (i == 1 || i == 2 ? 253.0 : 0.0));
      }
    }
  }
}

TEST_CASE("of two joints that are alike none is taken, and the place of the nearer is told", "[redraw]") {
  // Scallops of 6 mm: moved by 4 mm it may be the one or the other.
  const auto scallops = [](double by) {
    std::vector<Curve> curves{Line{{0, 0}, {100, 0}}, Line{{100, 0}, {100, 40}},
                              Line{{100, 40}, {60 + by, 40}}};
    Vec2 from{60 + by, 40};
    for (int i = 0; i < 5; ++i) {
      curves.emplace_back(Arc{from, from + Vec2{-3, 0}, 0.2});
      curves.emplace_back(Line{from + Vec2{-3, 0}, from + Vec2{-6, 0}});
      from = from + Vec2{-6, 0};
    }
    curves.emplace_back(Line{from, {0, 40}});
    curves.emplace_back(Line{{0, 40}, {0, 0}});
    return OutlineRuler(std::move(curves));
  };
  const OutlineRuler was = scallops(0);
  CHECK_FALSE(joint_alike(was, scallops(4), {48, 40}, 12.0).has_value());
}

TEST_CASE(
    "of a corner on a line at which nothing was drawn something is said only where it changed beside it",
    "[redraw]") {
  const OutlineRuler was(closed_lines({{0, 0}, {100, 0}, {100, 40}, {0, 40}}));
  const CornersFound same = match_corners(was, was, {{0, 0}, {60, 0}}, {});
  CHECK(same.corners[1].how == FoundHow::kOnLine);
  CHECK(same.corners[1].told.empty());
  CHECK(same.corners[1].at == Vec2{60, 0});
  const OutlineRuler now(closed_lines({{0, 0}, {104, 0}, {100, 40}, {0, 40}}));
  const CornersFound changed = match_corners(was, now, {{0, 0}, {60, 0}}, {});
  CHECK(changed.corners[1].problem.empty());
  CHECK(changed.corners[1].told.find("it stays at (60.000, 0.000), where nothing is drawn") == 0);
  // A vertex that is left out where nothing else changes was none of a corner's.
  const OutlineRuler more(closed_lines({{0, 0}, {60, 0}, {100, 0}, {100, 40}, {0, 40}}));
  const CornersFound fewer = match_corners(more, was, {{0, 0}, {60, 0}}, {});
  CHECK(fewer.corners[1].problem.empty());
  CHECK(fewer.corners[1].told.find("nothing is drawn at (60.000, 0.000) any more") == 0);
}

TEST_CASE("a joint that fairing made is found by its place on the line, however the chords part",
          "[redraw][law]") {
  int elsewhere = 0;
  test::holds_for_all(
      "places on a faired outline stay where they are",
      [&] {
        // A smooth egg in chords, the same in others.
        const double flat = *rc::gen::inRange(55, 85) / 100.0;
        const auto egg = [&](int chords, double phase) {
          std::vector<Vec2> points;
          for (int i = 0; i < chords; ++i) {
            const double angle = 2.0 * std::numbers::pi * (i + phase) / chords;
            points.push_back(
                {(100.0 + 12.0 * std::cos(angle)) * std::cos(angle), 100.0 * flat * std::sin(angle)});
          }
          return OutlineRuler(fair(closed_lines(points), true).curves);
        };
        const OutlineRuler was = egg(*rc::gen::inRange(240, 300), 0.0);
        const OutlineRuler now = egg(*rc::gen::inRange(240, 600), *rc::gen::inRange(0, 10) / 10.0);
        std::vector<Vec2> places;
        for (std::size_t i = 0; i < was.vertices().size(); i += 3) places.push_back(was.vertices()[i].at);
        CornerMatchOptions options;
        options.faired = true;
        const CornersFound found = match_corners(was, now, places, options);
        for (std::size_t i = 0; i < places.size(); ++i) {
          RC_ASSERT(found.corners[i].problem == "");
          RC_ASSERT(found.corners[i].told == "");
          RC_ASSERT(distance(found.corners[i].at, places[i]) <= tolerance::kCornerSnap.value() + kSameDrawn);
        }
        RC_ASSERT(found.added.empty());
        options.faired = false;
        const CornersFound drawn = match_corners(was, now, places, options);
        if (std::any_of(drawn.corners.begin(), drawn.corners.end(),
                        [](const CornerFound& one) { return !(one.problem + one.told).empty(); }))
          ++elsewhere;
      },
      12);
  CHECK(elsewhere > 2);
}

// However the piece is drawn: turned, or turned over, where its edges run the other way round on its sheet.
TEST_CASE("an edge's largest deviation is the largest, where it is, and no other edge's", "[redraw][law]") {
  test::holds_for_all("one vertex drawn out of a straight edge is the farthest", [] {
    const double x = *rc::gen::inRange(50, 1950) / 10.0;
    const double out = *rc::gen::inRange(2, 90) / 10.0;
    const double beside = *rc::gen::inRange(1, 40) / 10.0;
    RC_PRE(x - beside > 0.0 && x + beside < 200.0);
    const bool over = *rc::gen::arbitrary<bool>();
    const double by = from_degrees(*rc::gen::inRange(0, 360)).value();
    const auto drawn = [&](Vec2 p) { return turned(Vec2{over ? -p.x : p.x, p.y}, by) + Vec2{300, -50}; };
    const auto outline = [&](std::vector<Vec2> corners) {
      for (Vec2& p : corners) p = drawn(p);
      if (over) std::reverse(corners.begin(), corners.end());
      return OutlineRuler(closed_lines(corners));
    };
    PieceSpec spec;
    if (over) spec.lies = LiesSpec{false, {}, true};
    const std::vector<Vec2> places{drawn({0, 0}), drawn({200, 0}), drawn({200, 60}), drawn({0, 60})};
    const char* const names[] = {"feather", "side", "top", "back"};
    for (std::size_t i = 0; i < 4; ++i) {
      spec.corners.push_back({names[i], places[i]});
      spec.edges.emplace_back();
      spec.edges.back().name = names[i];
      spec.edges.back().from = names[i];
      spec.edges.back().to = names[(i + 1) % 4];
    }
    PieceTwin twin{&spec, 0, outline({{0, 0}, {200, 0}, {200, 60}, {0, 60}}), 0, {}, {}};
    twin.now.emplace(
        outline({{0, 0}, {x - beside, 0}, {x, -out}, {x + beside, 0}, {200, 0}, {200, 60}, {0, 60}}));
    const std::vector<RedrawnEdge> moved =
        moved_edges(twin, places, match_corners(twin.was, *twin.now, places, {}));
    RC_ASSERT(moved.size() == 1u);
    RC_ASSERT(moved[0].name == "feather");
    RC_ASSERT(std::abs(moved[0].most - out) < 1e-6);
    RC_ASSERT(distance(moved[0].at, drawn({x, -out})) < 1e-6);
  });
}

TEST_CASE("a notch that is drawn longer or shorter is told with both depths", "[redraw]") {
  const auto piece = [](double depth) {
    BoundPiece one;
    one.spec.name = "vamp";
    BoundNick nick;
    nick.at = {40, 0};
    nick.depth = depth;
    one.nicks.push_back(nick);
    return one;
  };
  const auto told = [&](double was, double now) {
    std::vector<std::string> says;
    tell_drawn_things(piece(was), piece(now), 12.0, says);
    CHECK(says.empty() == nicks_as_deep(piece(was), piece(now)));
    return says.empty() ? std::string() : says.front();
  };
  CHECK(told(4, 4.02).empty());
  for (const double now : {6.0, 4.5, 2.5, 12.0})
    CHECK(told(4, now).find(
              fmt::format("it is drawn {:.3f} mm deep, and was 4.000 mm deep; its nick is now cut "
                          "{:g} mm deep",
                          now, now)) != std::string::npos);
  CHECK(told(4, 0).find("drawn without a depth, and was 4.000 mm deep; its nick is now cut 3 mm deep") !=
        std::string::npos);
}

}  // namespace lastwright
