#include "cli/report/piece_sheet_svg.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "cli/report/edge_names.hpp"

using namespace lastwright;

namespace {

EdgedOutline sheet_square(double side) {
  return {{{{{0, 0}, 0}, {{side, 0}, 0}, {{side, side}, 0}, {{0, side}, 0}}}, {0, 1, 2, 3}};
}

GradedPiece piece_of_all_operations() {
  GradedPiece piece;
  piece.piece = "<vamp>";
  piece.at.size.label = "8½";
  piece.at.width.label = "F";
  piece.net = sheet_square(100);
  piece.cut = piece.net;
  for (ArcVertex& v : piece.cut.path.vertices) v.at = 1.2 * v.at - Vec2{10, 10};
  piece.cut_outs.push_back({{{{20, 20}, 1}, {{30, 20}, 1}}});
  for (const Operation operation : all_operations()) {
    piece.lines.push_back({{{{{10, 50}, 0.1}, {{90, 60}, 0}}}, operation});
  }
  piece.holes.push_back({{50, 80}, 1.5, Operation::kHole});
  return piece;
}

}  // namespace

TEST_CASE("the piece sheet shows every operation and says what the piece is", "[piece_sheet]") {
  const PieceSheetInfo info{
      .style = "a & b",
      .material = "calf 2.0 mm",
      .hand = "left",
      .per_pair = 2,
      .edges = {{"feather", "lasting", 18.0}, {"front", "raw", 0.0}, {"", "", 0}, {"top", "fold", 5}}};
  const std::string svg = piece_sheet_svg(piece_of_all_operations(), info);
  for (const Operation operation : all_operations()) {
    CHECK(svg.find(std::string("<g id=\"") + style_of(operation).key + "\"") != std::string::npos);
  }
  for (const char* text :
       {">&lt;vamp&gt;<", ">a &amp; b<", ">calf 2.0 mm<", ">8½<", ">lasting, 18.0 mm<", ">raw<", ">2<"}) {
    CHECK(svg.find(text) != std::string::npos);
  }
}

TEST_CASE("names of edges stand inside the outline and upright", "[piece_sheet]") {
  const EdgedOutline net = sheet_square(100);
  const auto placed = place_edge_names(net, {"bottom", "right", "top", "left"}, 2.0);
  REQUIRE(placed.size() == 4);
  for (const EdgeName& name : placed) {
    CHECK(contains(net.path, name.style.at));
    CHECK(distance_to(net.path, name.style.at) < 4.0);
    CHECK(std::abs(name.style.angle.value()) < 1.58);
  }
  // Too long for its edge at a height one can read: left to the list.
  CHECK(place_edge_names(sheet_square(3), {"a very long name", "", "", ""}, 2.0).empty());
  CHECK(place_edge_names(EdgedOutline{}, {}, 2.0).empty());
}
