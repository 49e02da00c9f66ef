// Whose a thing of a drawing is, and that each is used, left out by name or an error.
#include "grading/pieces/drawing/drawing_account.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/box_drawing.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;
using namespace lastwright::test;

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
       {"LINE on the layer 99, block BOX, piece box: its layer has no role (\"layers\" of its drawing in the "
        "style gives it one: \"99\": \"grain line\", or \"mirror line\", \"notches\", \"internal lines\", "
        "\"sew lines\", \"ignore\"): at (1.0, 1.0)",
        "layer 2, block BOX, piece box: a point among the turn points",
        "layer 8: this kind of entity is not read", "layer 14: it lies in no piece: at (300.0, 0.0)",
        "a text that lies in no piece", "a boundary that no piece uses, 30.0 x 30.0 mm",
        "layer 13: it belongs to a boundary that no piece uses"})
    CHECK_THAT(lines, Catch::Contains(told));
}

TEST_CASE("what is not read on a layer whose things are cut is an error, elsewhere it is left out by name",
          "[piece_bind][account]") {
  const auto told = [](const char* layer, const std::string& entity, const char* reason,
                       const std::string& role = {}) {
    Drawing drawing = box_drawing();
    DrawnFrom at = from(layer);
    at.entity = entity;
    drawing.left_out.push_back({at, reason});
    DrawingSpec spec;
    if (!role.empty()) spec.layers[layer] = role;
    BoundStyle bound = bound_style(drawing, {box_piece()}, spec);
    CHECK(bound.accounts[0].adds_up());
    CHECK(bound.accounts[0].in_error == bound.problems.size());
    return bound;
  };
  for (const char* layer : {"4", "11", "13"}) {
    for (const char* entity : {"REGION", "INSERT", "3DSOLID", "SOLID"}) {
      const BoundStyle bound = told(layer, entity, "this kind of entity is not read");
      REQUIRE(bound.problems.size() == 1);
      CHECK_THAT(to_text(bound.problems[0]),
                 Catch::Contains(std::string("a ") + entity + " on the layer of") &&
                     Catch::Contains("would not be cut"));
      CHECK(told(layer, entity, "this kind of entity is not read", "ignore").problems.empty());
      CHECK(told("CUTS", entity, "this kind of entity is not read", "cut-outs").problems.size() == 1);
    }
    // Words and fillings cut nothing, what is hidden is meant to be, and what is drawn twice is there.
    for (const char* entity : {"HATCH", "DIMENSION", "LEADER"})
      CHECK(told(layer, entity, "this kind of entity is not read").problems.empty());
    CHECK(told(layer, "CIRCLE", kMarkedInvisible).problems.empty());
    CHECK(told(layer, "LINE", "it has no length").problems.empty());
    CHECK(told(layer, "CIRCLE", "drawn twice: it lies on the CIRCLE of line 15").problems.empty());
  }
  for (const char* layer : {"1", "8", "14", "15", "99"})
    CHECK(told(layer, "REGION", "this kind of entity is not read").problems.empty());
}

TEST_CASE("what is drawn on the layer of drill holes and is no hole is an error with its place",
          "[piece_bind][account]") {
  const auto told = [](const DrawnPath& path) {
    Drawing drawing = box_drawing();
    drawing.paths.push_back(path);
    const BoundStyle bound = bound_style(drawing, {box_piece()});
    return bound.problems.empty() ? std::string() : to_text(bound.problems[0]);
  };
  for (const DrawnPath& path : {square({40, 40}, 4, "13", "BOX"), line({40, 40}, {44, 40}, "13", "BOX")}) {
    CHECK_THAT(told(path), Catch::Contains("at (40.000, 40.000)") && Catch::Contains("layer 13") &&
                               Catch::Contains("neither a circle nor a point"));
  }
  // A circle of two half arcs is one, whatever it is drawn as.
  DrawnPath round = square({40, 40}, 4, "13", "BOX");
  round.curves = {Arc{{38, 40}, {42, 40}, 1.0}, Arc{{42, 40}, {38, 40}, 1.0}};
  CHECK(told(round).empty());
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
  CHECK_THAT(bound.notes[0], Catch::Contains("lies in b and also in c, a, taken as b's"));
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
  // One that is drawn as a nick is, from either end; not a slanted one, a long one, or one away from the
  // outline.
  for (const auto& nick : {std::vector<Vec2>{{100, 30}, {96, 30}}, std::vector<Vec2>{{96, 30}, {100, 30}}})
    CHECK_THAT(told(nick), Catch::Contains("a straight line of 4 mm about square to the edge") &&
                               Catch::Contains("at (100.000, 30.000): if it is a nick, draw it") &&
                               Catch::Contains("state \"edge_lines\": \"nicks\" on the drawing"));
  CHECK_THAT(told({{100, 30}, {96, 34}}), Catch::Contains("but open: at"));
  CHECK_THAT(told({{100, 30}, {80, 30}}), Catch::Contains("but open: at"));
  CHECK_THAT(told({{97, 30}, {93, 30}}), Catch::Contains("but open: at"));
  // At the right-hand edge of a box, which is cut, or on which the box is cut double.
  for (const bool doubled : {false, true}) {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {polygon({{0, 0}, {100, 0}, {100, 50}, {0, 50}}, "1", "BOX"), {}};
    drawing.paths[1].from = drawing.paths[0].from;
    drawing.paths[1].curves = {Line{{100, 20}, {96, 20}}};
    PieceSpec piece = box_piece();
    const std::string edge = piece.edges[1].name;
    if (doubled) piece.fold = edge;
    const BoundStyle bound = bound_style(drawing, {piece});
    CHECK_THAT(
        left_out_lines(bound.accounts[0]).at(0),
        Catch::Contains(doubled ? "but open: at" : "square to the edge " + edge + " at (100.000, 20.000)"));
  }
}

TEST_CASE("short lines square to an edge of their layer are what the drawing says of them", "[piece_bind]") {
  const auto bound_with = [](const char* said, Vec2 a, Vec2 b, bool doubled = false) {
    Drawing drawing;
    drawing.file = "box.dxf";
    drawing.paths = {polygon({{0, 0}, {100, 0}, {100, 50}, {0, 50}}, "1", "BOX"), {}};
    drawing.paths[1].from = drawing.paths[0].from;
    drawing.paths[1].curves = {Line{a, b}};
    DrawingSpec spec;
    spec.edge_lines = said;
    PieceSpec piece = box_piece();
    if (doubled) piece.fold = piece.edges[1].name;
    BoundStyle bound = bound_style(drawing, {piece}, spec);
    CHECK(bound.problems.empty());
    CHECK(bound.accounts[0].adds_up());
    return bound;
  };
  // From either end, from inside or outside.
  for (const auto& [a, b] : {std::pair{Vec2{100, 20}, Vec2{96, 20}},
                             {Vec2{96, 20}, Vec2{100, 20}},
                             {Vec2{100, 20}, Vec2{104, 20}}}) {
    const BoundStyle nicked = bound_with("nicks", a, b);
    CHECK(left_out_lines(nicked.accounts[0]).empty());
    REQUIRE(nicked.pieces[0].nicks.size() == 1);
    const BoundNick& nick = nicked.pieces[0].nicks[0];
    CHECK(nick.edge == 1);
    CHECK(nick.at == Vec2{100, 20});
    CHECK(nick.depth == Approx(4.0));
    const BoundStyle ignored = bound_with("ignore", a, b);
    CHECK(ignored.pieces[0].nicks.empty());
    CHECK(left_out_lines(ignored.accounts[0]).empty());
    CHECK(bound_with("", a, b).accounts[0].left_out_in_all() == 1);
  }
  // A slanted one, a long one, one away from the edge and one on a fold stay left out by name.
  for (const char* said : {"nicks", "ignore"}) {
    for (const auto& [a, b] : {std::pair{Vec2{100, 20}, Vec2{96, 24}},
                               {Vec2{100, 20}, Vec2{80, 20}},
                               {Vec2{97, 20}, Vec2{93, 20}}}) {
      const BoundStyle bound = bound_with(said, a, b);
      CHECK(bound.pieces[0].nicks.empty());
      CHECK(bound.accounts[0].left_out_in_all() == 1);
    }
    const BoundStyle folded = bound_with(said, {100, 20}, {96, 20}, true);
    CHECK(folded.pieces[0].nicks.empty());
    CHECK(folded.accounts[0].left_out_in_all() == 1);
  }
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
