// How a piece is bound to its drawing, and what does not fit it.
#include "grading/pieces/piece_bind.hpp"

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
  // Corners that are stated farther off than they are read.
  REQUIRE(piece.notes.size() == 2);
  CHECK(piece.notes[0] ==
        "the corner a is stated at (0.400, 0.300), 0.500 mm from the corner of the drawing that it is taken "
        "for, "
        "(0.000, 0.000)");
  CHECK_THAT(piece.notes[1],
             Catch::StartsWith("the corner b is stated at (100.000, 0.200), the point corner of the forme"));
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
  CHECK_THAT(bound->notes.back(), Catch::Contains("corner c"));
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
