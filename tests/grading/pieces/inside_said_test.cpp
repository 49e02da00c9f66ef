// What a drawing says of closed lines inside an outline on its layer, however the layer comes to hold
// outlines.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>

#include "geometry/io/drawn_place.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/box_drawing.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

constexpr const char* kStyle = R"({{
  "lastwright_style": 1, "name": "Box", "scale": "english", "ladder": "english-letters",
  "base": {{"size": "8", "width": "F"}}, "run": {{"from": "8", "to": "8", "widths": ["F"]}},
  "measures": {{"stick length": {{"from_scale": true}}, "girth": {{"base": 90, "per_size": 1, "per_width": 1}}}},
  "drawings": {{"d": {{"file": "box.dxf"{}}}}},
  "formes": {{"shell": {{"points": {{"a": [0, 0], "b": [100, 0], "c": [0, 50]}}, "base_line": ["a", "b"], "fixed": "a",
    "length_line": "l", "girth_line": "t", "rules": [
      {{"measure_line": "l", "from": "a", "to": "b", "carries": {{"stick length": "1/3"}}}},
      {{"measure_line": "t", "from": "a", "to": "c", "carries": {{"girth": "1/2"}}}}]}}}},
  "pieces": [{{"name": "box", "forme": "shell", "outline": {{"drawing": "d"{}}},
    "corners": {{"a": [0, 0], "b": [100, 0], "c": [100, 50], "d": [0, 50]}},
    "edges": [{{"name": "foot", "from": "a", "to": "b"}}, {{"name": "right", "from": "b", "to": "c"}},
              {{"name": "top", "from": "c", "to": "d"}}, {{"name": "left", "from": "d", "to": "a"}}]}}]}})";

// `drawing` and `outline`: further keys of the two, each with its comma before it.
StyleSpec stated(const std::string& drawing, const std::string& outline) {
  const StyleRead read = read_style(fmt::format(kStyle, drawing, outline), "box.json");
  INFO((read.problems.empty() ? std::string() : to_text(read.problems.front())));
  REQUIRE(read.style);
  return *read.style;
}

BoundStyle boxes_bound(const StyleSpec& style, const Drawing& drawing, bool named = true) {
  return bound_style(drawing, style.pieces, style.drawings.front(),
                     named ? outline_layers(style, "d") : std::vector<OutlineLayer>());
}

std::string shown(const BoundStyle& style) {
  std::string text;
  for (const Problem& problem : style.problems) text += to_text(problem) + "\n";
  for (const BoundPiece& piece : style.pieces)
    text += fmt::format("{} loops, {} cut-outs, {} holes, {} lines, {} nicks\n", piece.loops.size(),
                        piece.cut_outs.size(), piece.holes.size(), piece.lines.size(), piece.nicks.size());
  const DrawingAccount& account = style.accounts.front();
  return text + fmt::format("{} used, {} left out, {} in error", account.used_in_all(),
                            account.left_out_in_all(), account.in_error);
}

}  // namespace

TEST_CASE("a layer that only the outline of a piece names holds outlines like one that is said to",
          "[pattern_drawing][law]") {
  int made = 0;
  holds_for_all("a layer named by an outline is a boundary", [&] {
    const std::string inside =
        *rc::gen::element<std::string>("cut-outs", "drill holes", "internal lines", "sew lines", "ignore");
    const std::string block = *rc::gen::element<std::string>("", "BOX");
    const int lines = *rc::gen::inRange(1, 5);
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {polygon({{0, 0}, {0, 50}, {100, 50}, {100, 0}}, "VAMP", block)};
    for (int i = 0; i < lines; ++i) {
      const Vec2 at{10.0 + 20.0 * i, 10.0 + *rc::gen::inRange(0, 20)};
      if (inside == "drill holes" || *rc::gen::arbitrary<bool>()) {
        drawing.circles.push_back({at, 3.0, from("VAMP", block)});
      } else {
        drawing.paths.push_back(square(at, 8.0, "VAMP", block));
      }
    }
    const bool nick = *rc::gen::arbitrary<bool>();
    if (nick) drawing.paths.push_back(line({50, 0}, {50, 3}, "VAMP", block));
    std::string outline = R"(, "layer": "VAMP")";
    if (*rc::gen::arbitrary<bool>()) outline += R"(, "at": [97, 25])";
    if (!block.empty() && *rc::gen::arbitrary<bool>()) outline += R"(, "block": "BOX")";
    const std::string said = fmt::format(R"(, "inside": "{}", "edge_lines": "nicks")", inside);
    const BoundStyle by_name = boxes_bound(stated(said, outline), drawing);
    const BoundStyle by_role =
        boxes_bound(stated(said + R"(, "layers": {"VAMP": "boundary"})", outline), drawing);
    RC_ASSERT(shown(by_name) == shown(by_role));
    RC_ASSERT(by_name.problems.empty());
    const BoundPiece& piece = by_name.pieces.front();
    const std::size_t found =
        piece.loops.size() + piece.cut_outs.size() + piece.holes.size() + piece.lines.size();
    RC_ASSERT(found == (inside == "ignore" ? 0u : static_cast<std::size_t>(lines)));
    RC_ASSERT(piece.nicks.size() == (nick ? 1u : 0u));
    // What is said and comes to nothing ends in an error, each line with its place.
    const BoundStyle lost = boxes_bound(stated(said, R"(, "layer": "VAMP", "at": [97, 25])"), drawing, false);
    RC_ASSERT(lost.problems.size() == static_cast<std::size_t>(lines));
    RC_ASSERT(lost.problems.front().message.find("cannot be applied to it") != std::string::npos);
    ++made;
  });
  CHECK(made > 50);
}

TEST_CASE("a closed line in an outline of its own layer is not another piece's, whose edge it meets",
          "[pattern_drawing][law]") {
  holds_for_all("own layer before what is met", [] {
    // Two overlapping outlines on layers of their own; a circle of the first on the edge of the second.
    const double over = *rc::gen::inRange(20, 80);
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {square({0, 0}, 100, "A"), square({100 - over, 10}, 100, "B")};
    drawing.circles = {{{100 - over, 50}, 3.0, from("A")}};
    DrawingSpec spec{"d", "box.dxf", "", {{"A", "boundary"}, {"B", "boundary"}}};
    const auto pieces = [&] {
      std::vector<PieceSpec> both;
      for (const auto& [name, low] : {std::pair{"A", Vec2{0, 0}}, {"B", Vec2{100 - over, 10}}}) {
        PieceSpec one = round_piece(name, {"d", {}, {name}, {low + Vec2{1, 1}}}, low);
        both.push_back(one);
      }
      return both;
    };
    const BoundStyle open = bound_style(drawing, pieces(), spec);
    RC_ASSERT(open.problems.empty());
    RC_ASSERT(open.accounts.front().left_out.size() == 1u);
    RC_ASSERT(open.accounts.front().left_out.front().piece == "A");
    spec.inside = "cut-outs";
    const BoundStyle said = bound_style(drawing, pieces(), spec);
    RC_ASSERT(said.problems.empty());
    for (const BoundPiece& piece : said.pieces)
      RC_ASSERT(piece.holes.size() == (piece.spec.name == "A" ? 1u : 0u));
  });
}

TEST_CASE("a layer without a role that may be a piece is offered as one", "[pattern_drawing]") {
  for (const double side : {12.0, 20.0}) {
    Drawing drawing = box_drawing();
    drawing.paths.push_back(square({5, 5}, side, "OTHER", "BOX"));
    const BoundStyle found = bound_style(drawing, {box_piece()});
    REQUIRE(found.problems.empty());
    std::string told;
    for (const std::string& one : left_out_lines(found.accounts.front())) told += one + "\n";
    CHECK((told.find("\"boundary\" where it is a piece") != std::string::npos) == (side > 15.0));
  }
}

TEST_CASE("places are told in the drawing's own unit", "[pattern_drawing][law]") {
  holds_for_all("a place told can be found again", [] {
    const auto& [mm, name, decimals] =
        *rc::gen::element(std::tuple{1.0, "", 3}, std::tuple{25.4, " in", 4}, std::tuple{10.0, " cm", 4},
                          std::tuple{1000.0, " m", 6});
    const Vec2 at{*rc::gen::inRange(-300000, 300000) / 1000.0, *rc::gen::inRange(-300000, 300000) / 1000.0};
    Drawing drawing;
    drawing.unit_in_mm = mm;
    const std::string told = drawn_place(drawing, at);
    RC_ASSERT(told == fmt::format("({:.{}f}, {:.{}f}){}", at.x / mm, decimals, at.y / mm, decimals, name));
  });
  // What is laid elsewhere has millimetres of its forme.
  PatternDrawing laid = prepared(box_drawing());
  laid.drawing.unit_in_mm = 25.4;
  CHECK(drawn_place(laid, {25.4, 0}) == "(1.0000, 0.0000) in");
  laid.laid = true;
  CHECK(drawn_place(laid, {25.4, 0}) == "(25.400, 0.000)");
}
