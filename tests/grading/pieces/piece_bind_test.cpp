#include "grading/pieces/piece_bind.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/io/dxf_read.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

DrawnFrom from(const std::string& layer, const std::string& block = "") {
  return {"LINE", layer, block, 0, "", 7};
}

DrawnPath polygon(std::vector<Vec2> points, const std::string& layer, const std::string& block = "") {
  DrawnPath path;
  for (std::size_t i = 0; i < points.size(); ++i)
    path.curves.push_back(Line{points[i], points[(i + 1) % points.size()]});
  path.closed = true;
  path.from = from(layer, block);
  return path;
}

DrawnPath line(Vec2 a, Vec2 b, const std::string& layer, const std::string& block = "") {
  return {{Line{a, b}}, false, 0, 0, from(layer, block)};
}

// A rectangle 100 x 50 in the block BOX, drawn clockwise, with one of everything in it.
Drawing box_drawing() {
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {polygon({{0, 0}, {0, 50}, {100, 50}, {100, 0}}, "1", "BOX"),
                   line({10, 10}, {90, 10}, "14", "BOX"),
                   line({10, 20}, {90, 20}, "7", "BOX"),
                   line({10, 21}, {12, 20}, "7", "BOX"),
                   line({50, -1}, {50, 3}, "4", "BOX"),
                   polygon({{60, 30}, {70, 30}, {70, 40}, {60, 40}}, "11", "BOX"),
                   polygon({{20, 30}, {30, 30}, {30, 40}, {20, 40}}, "8", "BOX"),
                   line({1, 1}, {2, 2}, "99", "BOX")};
  drawing.circles = {{{80, 25}, 2.5, from("13", "BOX")}, {{85, 25}, 1.0, from("11", "BOX")}};
  drawing.points = {
      {{100, 30.2}, from("4", "BOX")}, {{40, 25}, from("13", "BOX")}, {{3, 3}, from("2", "BOX")}};
  drawing.texts = {{{5, 5}, 3.0, Radians(0.0), "box", from("15", "BOX")}};
  return drawing;
}

PieceSpec box_piece() {
  PieceSpec spec;
  spec.name = "box";
  spec.forme = "shell";
  spec.source = {"d", "BOX", {}, {}};
  spec.corners = {{"a", Vec2{0.4, 0.3}}, {"b", "corner"}, {"c", Vec2{100, 50}}, {"d", Vec2{0, 50}}};
  spec.edges = {{"bottom", "a", "b"}, {"right", "b", "c"}, {"top", "c", "d"}, {"left", "d", "a"}};
  return spec;
}

FormeSpec forme() {
  FormeSpec spec;
  spec.name = "shell";
  spec.points = {{"corner", {100.0, 0.2}}};
  return spec;
}

PatternDrawing prepared(Drawing drawing) {
  return pattern_drawing(std::move(drawing), DrawingSpec{"d", "box.dxf", "", {}});
}

Problem fault(const PieceSpec& spec, Drawing drawing = box_drawing()) {
  const auto piece = bind_piece(spec, forme(), prepared(std::move(drawing)));
  REQUIRE_FALSE(piece.ok());
  return piece.problem();
}

}  // namespace

TEST_CASE("a piece is bound with everything drawn in it", "[piece_bind]") {
  const auto bound = bind_piece(box_piece(), forme(), prepared(box_drawing()));
  if (!bound) UNSCOPED_INFO(to_text(bound.problem()));
  REQUIRE(bound);
  const BoundPiece& piece = *bound;
  REQUIRE(piece.edges.size() == 4);
  const Vec2 corners[] = {{0, 0}, {100, 0}, {100, 50}, {0, 50}};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(start_of(piece.edges[i].chain.curves().front()) == corners[i]);
    CHECK(end_of(piece.edges[i].chain.curves().back()) == corners[(i + 1) % 4]);
  }
  REQUIRE(piece.lines.size() == 1);
  CHECK(piece.lines[0].operation == Operation::kStitch);
  REQUIRE(piece.loops.size() == 1);
  CHECK(piece.loops[0].operation == Operation::kGuide);
  REQUIRE(piece.cut_outs.size() == 1);
  CHECK(std::abs(signed_area(piece.cut_outs[0].outline) - 100.0) < 1e-9);
  REQUIRE(piece.holes.size() == 3);
  CHECK(piece.holes[0].radius == 2.5);
  CHECK(piece.holes[1].operation == Operation::kCutOut);
  CHECK(piece.holes[2].operation == Operation::kPrick);
  REQUIRE(piece.nicks.size() == 2);
  CHECK(piece.nicks[0].at == Vec2{50, 0});
  CHECK(piece.nicks[0].edge == 0);
  CHECK(piece.nicks[1].at == Vec2{100, 30.2});
  CHECK(piece.nicks[1].edge == 1);
  REQUIRE(piece.texts.size() == 1);
  REQUIRE(piece.grain);
  CHECK(piece.grain->to == Vec2{90, 20});  // not its arrow head
  CHECK(piece.notes.empty());
}

namespace {

// Binds the pieces of one drawing and requires its account to add up.
BoundStyle bound_style(Drawing drawing, std::vector<PieceSpec> pieces,
                       DrawingSpec spec = {"d", "box.dxf", "", {}}) {
  StyleSpec style;
  style.formes = {forme()};
  style.pieces = std::move(pieces);
  drawing.entities_in = drawing.used() + drawing.left_out.size();
  std::map<std::string, PatternDrawing> drawings;
  drawings.emplace("d", pattern_drawing(std::move(drawing), spec));
  BoundStyle bound = bind_as_drawn(style, drawings);
  REQUIRE(bound.accounts.size() == 1);
  CHECK(bound.accounts[0].adds_up());
  return bound;
}

PieceSpec round_piece(const std::string& name, OutlineSource source, Vec2 corner) {
  PieceSpec spec = box_piece();
  spec.name = name;
  spec.source = std::move(source);
  spec.corners = {{"a", corner}};
  spec.edges = {{"round", "a", "a"}};
  return spec;
}

DrawnPath square(Vec2 low, double side, const std::string& layer, const std::string& block = "") {
  return polygon({low, low + Vec2{side, 0}, low + Vec2{side, side}, low + Vec2{0, side}}, layer, block);
}

}  // namespace

TEST_CASE("everything a drawing holds is used by a piece, left out by name, or an error",
          "[piece_bind][account]") {
  Drawing drawing = box_drawing();
  drawing.left_out.push_back({from("8"), "this kind of entity is not read"});
  drawing.paths.push_back(line({300, 0}, {320, 0}, "14"));
  drawing.texts.push_back({{300, 5}, 3.0, Radians(0.0), "beside", from("15")});
  drawing.paths.push_back(square({400, 0}, 30, "1"));
  drawing.circles.push_back({{410, 10}, 2, from("13")});
  const BoundStyle bound = bound_style(drawing, {box_piece()});
  CHECK(bound.problems.empty());
  const DrawingAccount& account = bound.accounts[0];
  CHECK(account.read == drawing.used() + 1);
  CHECK(account.used.at("box") == 12);
  CHECK(account.left_out_in_all() == 7);
  std::string lines;
  for (const std::string& line : left_out_lines(account)) lines += line + "\n";
  INFO(lines);
  for (const char* told :
       {"LINE on the layer 99, block BOX, piece box: nobody gave its layer a role: at (1.0, 1.0)",
        "layer 2, block BOX, piece box: turn points", "layer 8: this kind of entity is not read",
        "layer 14: it lies in no piece: at (300.0, 0.0)", "a text that lies in no piece",
        "a boundary that no piece uses, 30.0 x 30.0 mm",
        "layer 13: it belongs to a boundary that no piece uses"})
    CHECK_THAT(lines, Catch::Contains(told));
}

TEST_CASE("a hole, cut-out or notch that is in no piece is an error with its place",
          "[piece_bind][account]") {
  for (const char* layer : {"13", "11", "4"}) {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {square({0, 0}, 100, "1")};
    if (std::string(layer) == "4") {
      drawing.points = {{{110, 50}, from(layer)}};
    } else {
      drawing.circles = {{{110, 50}, 3, from(layer)}};
    }
    const PieceSpec piece = round_piece("box", {"d", {}, {}, {}}, {0, 0});
    const BoundStyle bound = bound_style(drawing, {piece});
    REQUIRE(bound.problems.size() == 1);
    CHECK_THAT(to_text(bound.problems[0]), Catch::Contains("at (110.000, 50.000) belongs to no piece") &&
                                               Catch::Contains("box is nearest, 10.000 mm away"));
    CHECK(bound.accounts[0].in_error == 1);
    // What the message offers works.
    CHECK(bound_style(drawing, {piece}, {"d", "box.dxf", "", {{layer, "ignore"}}}).problems.empty());
  }
}

TEST_CASE("a cut-out or hole that crosses its piece's outline or the fold is refused", "[piece_bind]") {
  const auto fault_with = [](Vec2 low, double radius, std::optional<std::string> fold) {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {polygon({{0, 0}, {100, 0}, {100, 50}, {0, 50}}, "1", "BOX")};
    if (radius > 0.0) {
      drawing.circles = {{low, radius, from("13", "BOX")}};
    } else {
      drawing.paths.push_back(square(low, 10, "11", "BOX"));
    }
    PieceSpec spec = box_piece();
    spec.fold = std::move(fold);
    const auto piece = bind_piece(spec, forme(), prepared(drawing));
    return piece.ok() ? std::string() : to_text(piece.problem());
  };
  CHECK(fault_with({50, 20}, 0, {}).empty());
  CHECK(fault_with({90, 20}, 0, {}).empty());  // touches
  CHECK_THAT(fault_with({95, 20}, 0, {}), Catch::Contains("crosses the outline of its piece"));
  CHECK_THAT(fault_with({195, 20}, 0, {}), Catch::Contains("lies outside its piece"));
  CHECK_THAT(fault_with({50, -5}, 0, "bottom"), Catch::Contains("crosses the fold"));
  CHECK(fault_with({50, 5}, 3, {}).empty());
  CHECK_THAT(fault_with({50, 2}, 3, {}), Catch::Contains("a hole crosses the outline"));
  CHECK_THAT(fault_with({50, 2}, 3, "bottom"), Catch::Contains("crosses the fold"));
  CHECK(fault_with({50, 0}, 3, "bottom").empty());
  CHECK_THAT(fault_with({1, 0}, 3, "bottom"), Catch::Contains("crosses"));
}

TEST_CASE("what is on a piece's own layer is that piece's, whatever lies around it",
          "[piece_bind][ownership]") {
  // Three outlines in place: B inside A, C over both.
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {square({0, 0}, 100, "A"), square({10, 10}, 40, "B"), square({5, 5}, 60, "C"),
                   line({15, 20}, {45, 20}, "7")};
  for (const char* layer : {"A", "B", "C"})
    drawing.texts.push_back({{20, 20}, 3.0, Radians(0.0), std::string("of ") + layer, from(layer)});
  const DrawingSpec spec{"d", "box.dxf", "", {{"A", "boundary"}, {"B", "boundary"}, {"C", "boundary"}}};
  const BoundStyle bound = bound_style(
      drawing,
      {round_piece("a", {"d", {}, "A", {}}, {0, 0}), round_piece("b", {"d", {}, "B", {}}, {10, 10}),
       round_piece("c", {"d", {}, "C", {}}, {5, 5})},
      spec);
  REQUIRE(bound.pieces.size() == 3);
  for (const BoundPiece& piece : bound.pieces) {
    REQUIRE(piece.texts.size() == 1);
    CHECK(piece.texts[0].text == "of " + *piece.spec.source.layer);
  }
  // Nothing but its place tells of the grain line: the smallest has it, and that is said.
  CHECK(bound.pieces[1].grain);
  CHECK_FALSE(bound.pieces[0].grain);
  REQUIRE(bound.notes.size() == 1);
  CHECK_THAT(bound.notes[0], Catch::Contains("lies in b and in c, a too, taken as b's"));
}

TEST_CASE("closed lines inside an outline of their layer are what the drawing's \"inside\" says",
          "[piece_bind]") {
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {square({0, 0}, 100, "CUT"), square({20, 20}, 40, "CUT")};
  drawing.circles = {{{80, 80}, 4, from("CUT")}};
  DrawingSpec spec{"d", "box.dxf", "", {{"CUT", "boundary"}}};
  const PieceSpec piece = round_piece("box", {"d", {}, "CUT", Vec2{5, 5}}, {0, 0});
  const BoundStyle untold = bound_style(drawing, {piece}, spec);
  CHECK(untold.accounts[0].left_out_in_all() == 2);
  CHECK_THAT(left_out_lines(untold.accounts[0]).at(0), Catch::Contains("\"inside\" of the drawing says"));
  spec.inside = "cut-outs";
  const BoundStyle told = bound_style(drawing, {round_piece("box", {"d", {}, "CUT", {}}, {0, 0})}, spec);
  REQUIRE(told.pieces.size() == 1);
  CHECK(told.pieces[0].cut_outs.size() == 1);
  CHECK(told.pieces[0].holes.size() == 1);
  CHECK(told.accounts[0].left_out.empty());
}

TEST_CASE("a closed line that crosses or touches an outline on a layer of outlines is judged as inside one",
          "[piece_bind][crossing]") {
  struct Told {
    BoundStyle bound;
    std::string problems;
  };
  // The right half of a piece that is cut double along x = 0, and a line or circle drawn on its own layer.
  const auto with = [](std::optional<DrawnPath> path, std::optional<DrawnCircle> circle,
                       const std::string& inside, bool folded = true, const std::string& layer = "CUT") {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {square({0, 0}, 100, "CUT"), square({200, 0}, 100, "NEXT")};
    if (path) drawing.paths.push_back(*path);
    if (circle) drawing.circles.push_back(*circle);
    for (DrawnPath& one : drawing.paths) {
      if (one.from.layer == "own") one.from.layer = layer;
    }
    for (DrawnCircle& one : drawing.circles) one.from.layer = layer;
    DrawingSpec spec{"d", "box.dxf", "", {{"CUT", "boundary"}, {"NEXT", "boundary"}}};
    spec.inside = inside;
    PieceSpec box = box_piece();
    box.source = {"d", {}, "CUT", Vec2{50, 90}};
    box.corners = {{"a", Vec2{0, 0}}, {"b", Vec2{100, 0}}, {"c", Vec2{100, 100}}, {"d", Vec2{0, 100}}};
    if (folded) box.fold = "left";
    PieceSpec next = round_piece("next", {"d", {}, "NEXT", {}}, {200, 0});
    Told told{bound_style(drawing, {box, next}, spec), ""};
    for (const Problem& problem : told.bound.problems) told.problems += to_text(problem) + "\n";
    return told;
  };
  const auto hole = [](Vec2 centre) { return DrawnCircle{centre, 3, from("CUT")}; };
  for (const char* inside : {"cut-outs", "drill holes"}) {
    INFO(inside);
    const Told on_fold = with({}, hole({0, 30}), inside);
    INFO(on_fold.problems);
    REQUIRE(on_fold.bound.pieces.size() == 2);
    CHECK(on_fold.bound.pieces[0].holes.size() == 1);
    CHECK(on_fold.bound.accounts[0].left_out.empty());
    // The same circle beside a plain edge, beside the fold, and over an edge of a piece on another layer.
    CHECK_THAT(with({}, hole({0, 30}), inside, false).problems,
               Catch::Contains("crosses the outline") && Catch::Contains("piece box"));
    CHECK_THAT(with({}, hole({1, 30}), inside).problems, Catch::Contains("crosses the fold"));
    CHECK_THAT(with({}, hole({100, 30}), inside).problems, Catch::Contains("crosses the outline"));
    CHECK_THAT(with({}, hole({200, 30}), inside).problems, Catch::Contains("piece next"));
    // Its rim on the fold from within: used, and the distances of the piece are checked on it.
    CHECK(with({}, hole({3, 30}), inside).bound.pieces.at(0).holes.size() == 1);
  }
  CHECK_THAT(with(square({-5, 20}, 10, "CUT"), {}, "cut-outs").problems,
             Catch::Contains("a cut-out crosses the fold at (-5.000, 20.000)"));
  CHECK_THAT(with(square({195, 20}, 10, "CUT"), {}, "cut-outs").problems,
             Catch::Contains("crosses the outline of its piece") && Catch::Contains("piece next"));
  // No corner of either lies in the other.
  CHECK_THAT(with(polygon({{-10, 40}, {110, 40}, {110, 60}, {-10, 60}}, "CUT"), {}, "cut-outs").problems,
             Catch::Contains("piece box"));
  // Where nothing, or nothing cut, is said to lie inside, it cannot be judged.
  CHECK_THAT(with({}, hole({0, 30}), "").problems, Catch::Contains("crosses or touches the outline") &&
                                                       Catch::Contains("\"inside\" of the drawing"));
  CHECK_THAT(with(square({-5, 20}, 10, "CUT"), {}, "sew lines").problems,
             Catch::Contains("\"inside\" makes sew lines of lines that lie within an outline only"));
  // A further outline that meets none is left out by name, as is one of a layer that no piece uses.
  CHECK(with(square({101, 0}, 50, "CUT"), {}, "cut-outs").problems.empty());
  const Told other = with(square({50, 50}, 100, "OVER"), {}, "cut-outs");
  CHECK(other.problems.empty());
  CHECK(other.bound.accounts[0].left_out_in_all() == 1);
}

TEST_CASE("a drawing taken in the wrong unit is told by the unit with which its corners fit",
          "[piece_bind][unit]") {
  const auto told = [](double scale, double taken_as) {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.unit_in_mm = taken_as;
    drawing.paths = {
        polygon({{0, 0}, {100 * scale, 0}, {100 * scale, 50 * scale}, {0, 50 * scale}}, "1", "BOX")};
    return to_text(fault(box_piece(), drawing));
  };
  CHECK_THAT(told(25.4, 25.4), Catch::Contains("was taken in in, and all corners would be") &&
                                   Catch::Contains("if it were in mm"));
  CHECK_THAT(told(1 / 25.4, 1.0), Catch::Contains("taken in mm") && Catch::Contains("if it were in in"));
  CHECK_THAT(told(0.1, 1.0), Catch::Contains("if it were in cm"));
  CHECK_THAT(told(2.54, 25.4), Catch::Contains("if it were in cm"));
  CHECK_THAT(told(2.0, 1.0), !Catch::Contains("the unit seems wrong"));
}

TEST_CASE("an open line inside a piece that nearly closes is told by what closes it", "[piece_bind]") {
  const auto told = [](const std::vector<Vec2>& points) {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {square({0, 0}, 100, "1"), {}};
    drawing.paths[1].from = from("1");
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
      drawing.paths[1].curves.push_back(Line{points[i], points[i + 1]});
    const BoundStyle bound = bound_style(drawing, {round_piece("box", {"d", {}, {}, {}}, {0, 0})});
    return left_out_lines(bound.accounts[0]).at(0);
  };
  CHECK_THAT(
      told({{20, 20}, {80, 20}, {80, 40}, {20, 40}}),
      Catch::Contains("it closes if a line is drawn from (20.000, 40.000) to (20.000, 20.000), 20 mm:"));
  CHECK_THAT(told({{20, 20}, {80, 20}, {80, 40}, {20, 25}}),
             Catch::Contains("5 mm, or if \"chain_gap\" of the drawing is above 5 mm"));
  CHECK_THAT(told({{20, 20}, {80, 20}}), Catch::Contains("but open: at"));
}

TEST_CASE("two pieces that take the same outline are told", "[piece_bind]") {
  Drawing drawing;
  drawing.file = "box.dxf";
  drawing.paths = {square({0, 0}, 100, "1")};
  const OutlineSource source{"d", {}, {}, {}};
  CHECK(bound_style(drawing, {round_piece("top", source, {0, 0})}).notes.empty());
  const BoundStyle both =
      bound_style(drawing, {round_piece("top", source, {0, 0}), round_piece("lining", source, {0, 0})});
  REQUIRE(both.notes.size() == 1);
  CHECK(both.notes[0] ==
        "box.dxf: the pieces top and lining take the same outline: layer 1, line 7, 100.0 x 100.0 mm");
}

TEST_CASE("what does not fit a piece is refused with what there is", "[piece_bind]") {
  PieceSpec spec = box_piece();
  spec.source.block = "BX";
  CHECK_THAT(fault(spec).message, Catch::Contains("did you mean \"BOX\"?"));
  CHECK(fault(spec).place.pointer == "/outline/block");

  spec = box_piece();
  spec.source.at = Vec2{200, 200};
  CHECK(fault(spec).place.pointer == "/outline/at");

  Drawing twice = box_drawing();
  twice.paths.push_back(polygon({{200, 0}, {210, 0}, {210, 10}}, "1", "BOX"));
  CHECK_THAT(fault(box_piece(), twice).message,
             Catch::Contains("2 contours fit") && Catch::Contains("10.0 x 10.0 mm"));

  Drawing open = box_drawing();
  open.paths[0] = line({0, 0}, {0, 50}, "1", "BOX");
  CHECK(*fault(box_piece(), open).value == 50.0);

  CHECK_THAT(fault(box_piece(), open).message,
             Catch::Contains("a line is missing there") && !Catch::Contains("chain_gap"));
  open.paths.push_back(open.paths[0]);  // as where a second outline shares it
  CHECK_THAT(fault(box_piece(), open).message,
             Catch::Contains("a layer of its own") && !Catch::Contains("chain_gap"));
  open.paths.pop_back();
  open.paths[0] = {{Line{{0, 0}, {50, 0}}, Line{{50, 0}, {0, 2}}}, false, 0, 0, from("1", "BOX")};
  CHECK_THAT(fault(box_piece(), open).message, Catch::Contains("\"chain_gap\" of the drawing widens"));

  spec = box_piece();
  spec.corners[0].at = Vec2{-3, -4};
  const Problem off = fault(spec);
  CHECK(*off.value == 5.0);
  CHECK(*off.limit == 1.0);
  CHECK_THAT(to_text(off), Catch::Contains("corner a"));

  spec = box_piece();
  std::swap(spec.corners[0].at, spec.corners[2].at);
  CHECK_THAT(fault(spec).message, Catch::Contains("clockwise"));

  spec = box_piece();
  spec.corners[0].at = Vec2{100, 0};
  CHECK_THAT(fault(spec).message, Catch::Contains("same place"));

  Drawing stray = box_drawing();
  stray.points[0].at = {97, 30};
  CHECK_THAT(fault(box_piece(), stray).message, Catch::Contains("a nick"));

  Drawing crossed = box_drawing();
  crossed.paths[0] = polygon({{0, 0}, {100, 50}, {100, 0}, {0, 50}}, "1", "BOX");
  CHECK(fault(box_piece(), crossed).trouble == Trouble::kGeometry);
}

TEST_CASE("a corner on a curve cuts it", "[piece_bind]") {
  PieceSpec spec = box_piece();
  spec.corners[2].at = Vec2{70, 50.4};
  const auto bound = bind_piece(spec, forme(), prepared(box_drawing()));
  REQUIRE(bound);
  CHECK(end_of(bound->edges[1].chain.curves().back()) == Vec2{70, 50});
  CHECK(bound->edges[1].chain.curves().size() == 2);
  CHECK(bound->edges[2].chain.curves().size() == 1);
  CHECK_THAT(bound->notes.at(0), Catch::Contains("corner c"));
}

TEST_CASE("one corner is enough for a round outline", "[piece_bind]") {
  Drawing drawing;
  drawing.circles = {{{50, 50}, 20, from("1")}};
  PieceSpec spec = box_piece();
  spec.source = {"d", {}, {}, {}};
  for (const Vec2 at : {Vec2{70, 50}, Vec2{50, 70}}) {  // on a joint of the two half circles, and between
    spec.corners = {{"a", at}};
    spec.edges = {{"round", "a", "a"}};
    const auto bound = bind_piece(spec, forme(), prepared(drawing));
    REQUIRE(bound);
    REQUIRE(bound->edges.size() == 1);
    CHECK(start_of(bound->edges[0].chain.curves().front()) == end_of(bound->edges[0].chain.curves().back()));
    CHECK(std::abs(length(bound->edges[0].chain) - 40 * M_PI) < 1e-9);
  }
}

TEST_CASE("without blocks, lines go to the smallest outline around them", "[piece_bind]") {
  Drawing drawing;
  drawing.paths = {polygon({{0, 0}, {100, 0}, {100, 100}, {0, 100}}, "1"),
                   polygon({{10, 10}, {50, 10}, {50, 50}, {10, 50}}, "1"), line({20, 20}, {40, 40}, "14"),
                   line({60, 60}, {90, 90}, "14")};
  PieceSpec spec = box_piece();
  spec.source = {"d", {}, {}, Vec2{80, 20}};
  spec.corners = {{"a", Vec2{0, 0}}};
  spec.edges = {{"round", "a", "a"}};
  auto bound = bind_piece(spec, forme(), prepared(drawing));
  REQUIRE(bound);
  REQUIRE(bound->lines.size() == 1);
  CHECK(start_of(bound->lines[0].chain.curves()[0]) == Vec2{60, 60});
  spec.source.at = Vec2{30, 20};
  spec.corners = {{"a", Vec2{10, 10}}};
  bound = bind_piece(spec, forme(), prepared(drawing));
  REQUIRE(bound);
  CHECK(start_of(bound->lines.at(0).chain.curves()[0]) == Vec2{20, 20});
}

TEST_CASE("the demo's pieces are bound whole", "[piece_bind]") {
  const std::filesystem::path folder = test::project_dir() + "/demo-patterns/cindergarth";
  const auto slurp = [&](const std::string& name) {
    std::ifstream file(folder / name, std::ios::binary);
    return std::string{std::istreambuf_iterator<char>(file), {}};
  };
  const StyleRead read = read_style(slurp("style.json"), "style.json");
  REQUIRE(read.ok());
  std::map<std::string, PatternDrawing> drawings;
  for (const DrawingSpec& spec : read.style->drawings) {
    DxfReadOptions options;
    options.file_name = spec.file;
    auto drawing = read_dxf(slurp(spec.file), options);
    REQUIRE(drawing);
    drawings.emplace(spec.key, pattern_drawing(*std::move(drawing), spec));
  }
  SizeRun run;
  for (const PieceSpec& piece : read.style->pieces) {
    for (const EdgeSpec& edge : piece.edges) {
      for (const AllowanceStep& step : edge.allowance_from) run.named[step.from] = 1;
    }
  }
  const BoundStyle bound = bind_pieces(*read.style, drawings, run);
  for (const Problem& problem : bound.problems) UNSCOPED_INFO(to_text(problem));
  CHECK(bound.problems.empty());
  CHECK(bound.notes.empty());
  for (const DrawingAccount& account : bound.accounts) {
    CHECK(account.adds_up());
    CHECK(account.left_out.empty());
    CHECK(account.in_error == 0);
  }
  CHECK(bound.pieces.size() == read.style->pieces.size());
  for (const BoundPiece& piece : bound.pieces) {
    INFO(piece.spec.name);
    CHECK(piece.grain);
    CHECK_FALSE(piece.texts.empty());
    for (std::size_t i = 0; i < piece.edges.size(); ++i) {
      const BoundEdge& next = piece.edges[(i + 1) % piece.edges.size()];
      CHECK(end_of(piece.edges[i].chain.curves().back()) == start_of(next.chain.curves().front()));
    }
    for (const std::string& note : piece.notes) UNSCOPED_INFO(note);
    CHECK(piece.notes.empty());
  }
}
