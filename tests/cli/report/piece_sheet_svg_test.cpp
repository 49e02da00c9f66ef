#include "cli/report/piece_sheet_svg.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "cli/report/edge_names.hpp"
#include "cli/report/piece_caption.hpp"
#include "cli/report/skive_labels.hpp"
#include "geometry/check/segment_gap.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;
using lastwright::test::Dice;

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
  const auto placed_on = [](const EdgedOutline& net, const std::vector<std::string>& names) {
    GradedPiece piece;
    piece.net = piece.cut = net;
    LabelRoom room(piece);
    return place_edge_names(piece, names, 2.0, room);
  };
  const EdgedOutline net = sheet_square(100);
  const auto placed = placed_on(net, {"bottom", "right", "top", "left"});
  REQUIRE(placed.size() == 4);
  for (const EdgeName& name : placed) {
    CHECK(contains(net.path, name.style.at));
    CHECK(distance_to(net.path, name.style.at) < 4.0);
    CHECK(std::abs(name.style.angle.value()) < 1.58);
  }
  // Too long for its edge at a height one can read: left to the list.
  CHECK(placed_on(sheet_square(3), {"a very long name", "", "", ""}).empty());
  CHECK(placed_on(EdgedOutline{}, {}).empty());
}

TEST_CASE("labels stand off lines, holes, cut-outs, texts and each other", "[piece_sheet]") {
  Dice dice(23);
  std::size_t named = 0;
  std::size_t captions = 0;
  constexpr int kPieces = 40;
  for (int k = 0; k < kPieces; ++k) {
    GradedPiece piece;
    piece.net = sheet_square(80);
    piece.cut = piece.net;
    const double wide = dice(0.0, 8.0);
    for (ArcVertex& v : piece.cut.path.vertices)
      v.at = v.at + wide * Vec2{v.at.x > 40.0 ? 1.0 : -1.0, v.at.y > 40.0 ? 1.0 : -1.0};
    for (const double row : {2.0, 4.5, 2.0 + dice(3.0, 6.0)}) {
      const OpenArcPath stitches{{{{row, row}, 0}, {{80 - row, row}, 0}, {{80 - row, 80 - row}, 0}}};
      piece.lines.push_back({stitches, Operation::kStitch});
    }
    for (int h = 0; h < 6; ++h)
      piece.holes.push_back({{dice(5.0, 75.0), dice(5.0, 75.0)}, 2.0, Operation::kHole});
    piece.cut_outs.push_back({{{{30, 4}, 1}, {{50, 4}, 1}}});
    piece.lines.push_back({{{{{10, 3}, 0}, {{10, 77}, 0}}}, Operation::kSkive});
    piece.texts.push_back(
        {{3.0, 30.0}, 2.0, Radians(0.5 * std::numbers::pi), "skive 10 x 0.9", Operation::kSkive});
    piece.texts.push_back({{30.0, 40.0}, 4.0, Radians(0.0), "SQUARE", Operation::kText});
    LabelRoom room(piece);
    const std::vector<std::string> names{"bottom edge", "right edge", "top edge", "left edge"};
    std::vector<ClosedArcPath> boxes{box_of({.at = {30.0, 40.0}, .height = 4.0}, "SQUARE")};
    for (const SkiveLabel& label : place_skive_labels(piece, room))
      boxes.push_back(box_of(label.style, label.text));
    for (const EdgeName& name : place_edge_names(piece, names, 2.0, room)) {
      boxes.push_back(box_of(name.style, names[name.edge]));
      ++named;
    }
    for (const SheetText& line : piece_caption(piece, "square, size 8, width F:", "2 per pair", room)) {
      boxes.push_back(box_of({.at = line.at, .height = line.height, .angle = line.angle}, line.text));
      ++captions;
    }
    for (std::size_t i = 1; i < boxes.size(); ++i) {
      const auto clear_of = [&](const ArcSegment& segment) {
        for (std::size_t s = 0; s < boxes[i].size(); ++s)
          CHECK(gap_between(boxes[i].segment(s), segment).distance > 0.5);
        CHECK_FALSE(contains(boxes[i], segment.point_at(0.5)));
      };
      for (const GradedLine& line : piece.lines) {
        for (std::size_t s = 0; s < line.path.size(); ++s) clear_of(line.path.segment(s));
      }
      for (const GradedHole& hole : piece.holes) {
        CHECK(distance_to(boxes[i], hole.centre) > 2.5);
        CHECK_FALSE(contains(boxes[i], hole.centre));
      }
      for (std::size_t s = 0; s < 4; ++s) clear_of(piece.cut.path.segment(s));
      for (std::size_t s = 0; s < 2; ++s) clear_of(piece.cut_outs.front().segment(s));
      for (std::size_t j = 0; j < i; ++j) CHECK(gap_between(boxes[i], boxes[j]).distance > 0.5);
    }
  }
  CHECK(named > kPieces * 3);  // hardly any is left out
  CHECK(captions >= kPieces);
}
