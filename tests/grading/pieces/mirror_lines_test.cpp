// Every mirror line is used as the fold of a named piece, or told by what it misses.
#include "grading/pieces/mirror_lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "tests/support/box_drawing.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// Half a piece, its fold from (0, 0) to (0, length), anywhere on the sheet.
struct HalfOnSheet {
  double length = 60.0;
  double angle = 0.0;
  bool over = false;
  Vec2 shift;
  [[nodiscard]] Vec2 of(Vec2 p) const { return turned({over ? -p.x : p.x, p.y}, angle) + shift; }
  [[nodiscard]] std::vector<Vec2> corners() const {
    std::vector<Vec2> all{of({0, 0}), of({0, length}), of({-40, 0.9 * length}), of({-40, 8})};
    if (over) std::reverse(all.begin(), all.end());
    return all;
  }
  // Edge 0 is the fold, 2 the one across.
  [[nodiscard]] PieceSpec spec(const std::optional<std::string>& block) const {
    PieceSpec piece = box_piece();
    piece.name = "half";
    piece.source = {"d", block, {}, {}};
    piece.corners.clear();
    piece.edges.clear();
    const std::vector<Vec2> at = corners();
    const std::vector<std::string> names = over ? std::vector<std::string>{"across", "top", "centre", "foot"}
                                                : std::vector<std::string>{"centre", "top", "across", "foot"};
    for (std::size_t i = 0; i < 4; ++i) piece.corners.push_back({fmt::format("k{}", i), at[i]});
    for (std::size_t i = 0; i < 4; ++i)
      piece.edges.push_back({names[i], fmt::format("k{}", i), fmt::format("k{}", (i + 1) % 4)});
    return piece;
  }
};

std::vector<LeftOutThing> mirrors_left(const BoundStyle& bound) {
  std::vector<LeftOutThing> all;
  for (const LeftOutThing& one : bound.accounts.at(0).left_out) {
    if (one.mirror_line) all.push_back(one);
  }
  return all;
}

// What is said of lines on the layer of mirror lines in a box of 100 x 50 whose right edge may be the fold.
std::vector<LeftOutThing> left_of_box(const std::vector<std::pair<Vec2, Vec2>>& lines, const char* fold) {
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {polygon({{0, 0}, {100, 0}, {100, 50}, {0, 50}}, "1")};
  for (const auto& [a, b] : lines) drawing.paths.push_back(line(a, b, "6"));
  PieceSpec piece = box_piece();
  piece.source = {"d", {}, {}, {}};
  if (*fold != '\0') piece.fold = fold;
  const BoundStyle bound = bound_style(drawing, {piece});
  CHECK(bound.problems.empty());
  CHECK(bound.accounts[0].used_in_all() + mirrors_left(bound).size() == lines.size() + 1);
  return mirrors_left(bound);
}

}  // namespace

TEST_CASE("a mirror line is used on the fold, or told by what it misses", "[mirror-lines][law]") {
  holds_for_all(
      "used or told",
      [](int seed) {
        std::mt19937 random(static_cast<unsigned>(seed));
        const auto share = [&random] { return static_cast<double>(random()) / 4294967296.0; };
        const HalfOnSheet half{30.0 + 90.0 * share(),
                               6.3 * share(),
                               share() < 0.5,
                               {2000.0 * share() - 1000.0, 2000.0 * share() - 1000.0}};
        // Its ends, each off the fold and along it; half of them on it, some of them parallel.
        const double s0 = (1.4 * share() - 0.2) * half.length;
        const double s1 = (1.4 * share() - 0.2) * half.length;
        RC_PRE(std::abs(s1 - s0) > 2.0);
        const double reach = share() < 0.5 ? 0.05 : 4.0;
        const double d0 = reach * (2.0 * share() - 1.0);
        const double d1 = share() < 0.5 ? d0 : reach * (2.0 * share() - 1.0);
        const int stated = static_cast<int>(3.0 * share());  // the fold: none, the centre, another edge
        const bool blocks = share() < 0.5;
        const char* layer = share() < 0.5 ? "6" : "CENTRES";

        Drawing drawing;
        drawing.file = "half.dxf";
        drawing.paths = {polygon(half.corners(), "1", blocks ? "BOX" : ""),
                         line(half.of({d0, s0}), half.of({d1, s1}), layer, blocks ? "BOX" : "")};
        DrawingSpec spec{"d", "half.dxf", "", {}};
        if (*layer == 'C') spec.layers[layer] = "mirror line";
        PieceSpec piece = half.spec(blocks ? std::optional<std::string>("BOX") : std::nullopt);
        if (stated > 0) piece.fold = stated == 1 ? "centre" : "across";
        const BoundStyle bound = bound_style(drawing, {piece}, spec);
        RC_ASSERT(bound.problems.empty());

        const double slope = (d1 - d0) / (s1 - s0);
        const double lean = 1.0 / std::hypot(1.0, slope);
        const auto extended = [&](double s) { return std::abs(d0 + slope * (s - s0)) * lean; };
        const double off = std::max({std::abs(d0), std::abs(d1), extended(0.0), extended(half.length)});
        const double along = std::min(std::max(s0, s1), half.length) - std::max(std::min(s0, s1), 0.0);
        const double enough = 0.5 * std::min(half.length, std::abs(s1 - s0));
        RC_PRE(std::abs(off - kOnFold.value()) > 1e-3 && std::abs(along - enough) > 0.02);
        const bool on = off <= kOnFold.value() && along >= enough;

        const std::vector<LeftOutThing> left = mirrors_left(bound);
        if (on && stated == 1) {
          RC_ASSERT(left.empty());
          RC_ASSERT(bound.accounts[0].used.at("half") == 2U);
          return;
        }
        RC_ASSERT(left.size() == 1U);
        RC_ASSERT(bound.accounts[0].used.at("half") == 1U);
        const std::string& reason = left.front().reason;
        RC_ASSERT(left.front().at.has_value());
        RC_ASSERT(reason.find(fmt::format("a mirror line of {:.2f} mm", std::hypot(d1 - d0, s1 - s0))) == 0U);
        if (left.front().piece.empty()) {
          RC_ASSERT(!blocks);
          RC_ASSERT(reason.find("lies in no piece: its ends lie up to ") != std::string::npos);
          RC_ASSERT(left.front().not_doubled);
          return;
        }
        RC_ASSERT(left.front().piece == "half");
        RC_ASSERT(left.front().not_doubled == (stated == 0));
        RC_ASSERT(reason.find("\"ignore\"") != std::string::npos);
        if (on) RC_ASSERT(reason.find("on the edge centre") != std::string::npos);
        if (!on && stated == 1 && off > kOnFold.value())
          RC_ASSERT(reason.find(fmt::format("up to {:.3f} mm off the edge centre, which is {:.2f} mm long",
                                            off, half.length)) != std::string::npos);
        if (!on && stated == 1 && off <= kOnFold.value())
          RC_ASSERT(reason.find("in line with the edge centre") != std::string::npos);
      },
      300);
}

TEST_CASE("what becomes of mirror lines of every kind", "[mirror-lines]") {
  const std::pair<Vec2, Vec2> right{{100, 0}, {100, 50}};
  CHECK(left_of_box({right}, "right").empty());
  CHECK(left_of_box({{{100, 70}, {100, -30}}}, "right").empty());                        // runs on beyond it
  CHECK(left_of_box({{{100, 3}, {100, 9}}}, "right").empty());                           // a part of it
  CHECK(left_of_box({{{100, 0}, {100, 20}}, {{100, 20}, {100, 50}}}, "right").empty());  // in two parts
  const auto said = [](const std::vector<LeftOutThing>& left, const std::string& what) {
    REQUIRE(left.size() == 1);
    CHECK_THAT(left[0].reason, Catch::Contains(what));
    return left[0];
  };
  CHECK(said(left_of_box({right}, ""),
             "on the edge right, and the style states no \"fold\" for the piece: it "
             "is cut as the half that is drawn; state \"fold\": \"right\"")
            .not_doubled);
  CHECK_FALSE(said(left_of_box({right}, "left"),
                   "on the edge right, and the piece is cut double on one edge, "
                   "the fold that the style states: left")
                  .not_doubled);
  // Of two the one that is not on the fold.
  CHECK(said(left_of_box({right, {{0, 0}, {0, 50}}}, "right"), "on the edge left").at->x == 0.0);
  CHECK(said(left_of_box({{{100, 50.5}, {100, 90}}, right}, "right"),
             "it is in line with the edge right, and 0.50 mm away from it")
            .at->y == 50.5);
  // Two that meet at a corner are two.
  said(left_of_box({right, {{100, 50}, {0, 50}}}, "right"), "on the edge top");
  // Across the middle of a piece that is drawn whole; elsewhere through it.
  CHECK_FALSE(said(left_of_box({{{50, 0}, {50, 50}}}, ""), "in the middle of the piece, which is drawn whole")
                  .not_doubled);
  CHECK(said(left_of_box({{{40, 0}, {40, 50}}}, ""),
             "the piece lies on both sides of it, 60.00 and 40.00 mm far")
            .not_doubled);
  CHECK(said(left_of_box({{{103, 0}, {103, 50}}}, ""),
             "lies in no piece: its ends lie up to 3.000 mm off the outline of box, the nearest")
            .piece.empty());
  // On two edges with a bay between them.
  const std::vector<Vec2> deep{{0, 0}, {100, 0}, {100, 20}, {90, 25}, {100, 30}, {100, 50}, {0, 50}};
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {polygon(deep, "1"), line({100, 0}, {100, 50}, "6")};
  PieceSpec piece = box_piece();
  piece.source = {"d", {}, {}, {}};
  piece.corners.clear();
  for (std::size_t i = 0; i < deep.size(); ++i) piece.corners.push_back({fmt::format("k{}", i), deep[i]});
  const char* names[] = {"bottom", "low", "in", "out", "high", "top", "left"};
  piece.edges.clear();
  for (std::size_t i = 0; i < deep.size(); ++i)
    piece.edges.push_back({names[i], fmt::format("k{}", i), fmt::format("k{}", (i + 1) % deep.size())});
  CHECK(said(mirrors_left(bound_style(drawing, {piece})),
             "on the edges low, high, and a piece is cut double on "
             "one edge")
            .not_doubled);
  piece.fold = "low";
  said(mirrors_left(bound_style(drawing, {piece})),
       "on the edges low, high, and the piece is cut double on one");
  // Two pieces of one outline, of which one states no fold.
  drawing.paths = {polygon({{0, 0}, {100, 0}, {100, 50}, {0, 50}}, "1"), line({100, 0}, {100, 50}, "6")};
  PieceSpec one = box_piece();
  one.source = {"d", {}, {}, {}};
  one.fold = "right";
  PieceSpec other = one;
  other.name = "lining";
  CHECK(mirrors_left(bound_style(drawing, {one, other})).empty());
  other.fold.reset();
  CHECK(said(mirrors_left(bound_style(drawing, {one, other})), "states no \"fold\"").piece == "lining");
  // What is no straight line.
  one.fold.reset();
  drawing.paths[1] = polygon({{10, 10}, {20, 10}, {20, 20}}, "6");
  said(mirrors_left(bound_style(drawing, {one})), "a closed line among the mirror lines");
  drawing.paths[1] = line({100, 0}, {100, 25}, "6");
  drawing.paths[1].curves.emplace_back(Line{{100, 25}, {99, 50}});
  said(mirrors_left(bound_style(drawing, {one})),
       "not straight: it leaves the straight line between its ends by 0.500 mm (at most 0.06)");
  // On a layer that is to be ignored it is as asked.
  drawing.paths[1] = line({100, 0}, {100, 50}, "6");
  DrawingSpec spec{"d", "box.dxf", "", {}};
  spec.layers["6"] = "ignore";
  CHECK(left_out_lines(bound_style(drawing, {one}, spec).accounts[0]).empty());
}

TEST_CASE("the edge that mirror lines name is sure, near, or none", "[mirror-lines]") {
  const std::vector<EdgeChord> edges{{{0, 0}, {0, 60}}, {{0, 60}, {-40, 60}}, {{-40, 60}, {-40, 0}, false}};
  const auto named = [&](const std::vector<std::pair<Vec2, Vec2>>& mirrors) {
    const std::optional<MirroredEdge> found = mirrored_edge(mirrors, edges);
    return found ? fmt::format("{} {:.2f} {}", found->edge, found->off, found->sure) : "none";
  };
  CHECK(named({{{0, 60}, {0, 0}}}) == "0 0.00 true");
  CHECK(named({{{0.05, 60}, {0.05, 0}}}) == "0 0.00 true");
  CHECK(named({{{0.1, 60}, {0.1, 0}}}) == "0 0.10 false");
  CHECK(named({{{1.1, 60}, {1.1, 0}}}) == "none");
  CHECK(named({{{-40, 60}, {-40, 0}}}) == "none");                            // bent
  CHECK(named({{{0, 0}, {0, 60}}, {{0, 60}, {-40, 60}}}) == "0 0.00 false");  // of two the longer
  CHECK(named({{{0.3, 0}, {0.3, 80}}, {{0, 60}, {-40, 60}}}) == "1 0.00 true");
  CHECK(named({}) == "none");
}
