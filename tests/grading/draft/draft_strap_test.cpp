// Straps in a draft: their ends, sides and points.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "grading/style/forme_lookup.hpp"
#include "tests/support/drafted.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// A style of kind strap, of one closed line.
Draft strap_drawn(const std::string& text) {
  DraftOptions options;
  options.kind = *shoe_kind({"strap"});
  options.basis.scale = "paris-point";
  options.basis.size = "37";
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*read_dxf(drawing(tags(text)), {}), "strap", "strap.dxf"});
  return *draft_style(std::move(drawings), options, {});
}

}  // namespace

TEST_CASE("a strap is measured to its tip, on its outline", "[draft]") {
  const Draft draft = court_draft({}, court_upper());
  const auto strap = std::find_if(draft.style.formes.begin(), draft.style.formes.end(),
                                  [](const FormeSpec& one) { return one.name == "ankle strap"; });
  REQUIRE(strap != draft.style.formes.end());
  CHECK(distance(drawn_place(*strap, "end"), {240, 6}) < 0.01);
  CHECK(distance(drawn_place(*strap, "start"), {0, 6}) < 0.01);
  CHECK(strap->base_line == std::pair<std::string, std::string>{"base start", "base end"});
  CHECK(distance(drawn_place(*strap, "base start"), {0, 0}) < 0.01);
  CHECK(distance(drawn_place(*strap, "base end"), {230, 0}) < 0.01);  // where the straight edge ends
}

TEST_CASE("every point of a strap lies on its outline, its tips where its arcs have them", "[draft][law]") {
  constexpr double kTurn = 37.0 * 3.14159265358979 / 180.0;
  // Round at one end or at both: a box of 180 x 14 mm between half circles.
  for (const bool both : {false, true}) {
    CAPTURE(both);
    std::string text = "0 LWPOLYLINE|8 1|90 4|70 1";
    const std::pair<Vec2, double> vertices[] = {
        {{0, -7}, 0.0}, {{180, -7}, 1.0}, {{180, 7}, 0.0}, {{0, 7}, both ? 1.0 : 0.0}};
    for (const auto& [p, bulge] : vertices) {
      const Vec2 q = turned(p, kTurn);
      text += fmt::format("|10 {:.6f}|20 {:.6f}|42 {:g}", q.x, q.y, bulge);
    }
    const Draft draft = strap_drawn(text);
    const FormeSpec& forme = draft.style.formes.front();
    REQUIRE(forme.points.size() == 5);
    const auto drawn = [&](const char* name) { return turned(drawn_place(forme, name), -kTurn); };
    for (const NamedPoint& point : forme.points) {
      CAPTURE(point.name);
      const Vec2 p = turned(point.at, -kTurn);
      const double to_middle = distance(p, {std::clamp(p.x, 0.0, 180.0), 0.0});
      CHECK((std::abs(to_middle - 7.0) < 0.002 || (!both && std::abs(p.x) < 0.002 && to_middle < 7.002)));
    }
    // From the flat end to the round one, or from either round one to the other.
    const Vec2 start = drawn("start");
    const Vec2 end = drawn("end");
    CHECK(std::abs(start.y) < 0.002);
    CHECK(std::abs(end.y) < 0.002);
    CHECK(std::abs(std::abs(end.x - start.x) - (both ? 194.0 : 187.0)) < 0.002);
    CHECK(std::abs(std::abs(drawn("side").y - drawn("base start").y) - 14.0) < 0.002);
    CHECK(std::abs(drawn("side").x - drawn("base start").x) < 0.002);
  }
}

TEST_CASE("an end of a strap that is drawn in short lines is one edge, as an arc is", "[draft][law]") {
  // Square or round at its start, round at its end; in so many chords.
  const auto strap = [](bool both, int chords, double degrees) {
    std::vector<Vec2> points{{0, -7}, {180, -7}};
    const auto round_end = [&](double x, double way) {
      for (int i = 1; i < chords; ++i) {
        const double angle = 3.14159265358979 * i / chords;
        points.push_back({x + way * 7 * std::sin(angle), -way * 7 * std::cos(angle)});
      }
    };
    round_end(180, 1.0);
    points.push_back({180, 7});
    points.push_back({0, 7});
    if (both) round_end(0, -1.0);
    std::string text = fmt::format("0 LWPOLYLINE|8 1|90 {}|70 1", points.size());
    for (const Vec2 p : points) {
      const Vec2 q = turned(p, degrees * 3.14159265358979 / 180.0);
      text += fmt::format("|10 {:.4f}|20 {:.4f}", q.x, q.y);
    }
    return strap_drawn(text);
  };
  for (const bool both : {false, true}) {
    for (const int chords : {8, 9, 16, 31}) {
      const Draft draft = strap(both, chords, 37.0);
      CAPTURE(both, chords);
      REQUIRE(draft.style.pieces.size() == 1);
      const PieceSpec& piece = draft.style.pieces.front();
      CHECK(piece.corners.size() == 4);
      CHECK(std::count_if(piece.edges.begin(), piece.edges.end(),
                          [](const EdgeSpec& one) { return one.held; }) == (both ? 2 : 1));
      CHECK(proposes(draft, "is one end"));
      CHECK(draft.style.formes.front().points.size() == 5);
    }
  }
  // Two corners cut off are meant as they are.
  CHECK(strap(false, 3, 0.0).style.pieces.front().corners.size() == 6);
}
