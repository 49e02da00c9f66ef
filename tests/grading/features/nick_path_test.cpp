// Nicks where they are drawn and where they are made, with figures by hand.
#include "grading/features/nick_path.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "tests/support/blob.hpp"

using namespace lastwright;

namespace {

// A box with so much allowance all round and one drawn nick of this depth in the middle of its lower edge.
GradedPiece nicked(double allowance, double depth) {
  GradedPiece piece;
  piece.net.path = test::box_path(60.0, 40.0);
  const Vec2 at = piece.net.path.segment(0).point_at(0.5);
  const Vec2 inward = left_of(piece.net.path.segment(0).start_tangent());
  for (const ArcVertex& v : piece.net.path.vertices) {
    const Vec2 out{std::copysign(allowance, v.at.x - at.x), v.at.y < at.y + 20.0 ? -allowance : allowance};
    piece.cut.path.vertices.push_back({v.at + out, 0.0});
  }
  piece.lines.push_back({{{{at, 0.0}, {at + depth * inward, 0.0}}}, Operation::kNick, false});
  return piece;
}

}  // namespace

TEST_CASE("a drawn nick starts on the cut line and ends half a millimetre short of the finished edge",
          "[nick]") {
  struct Case {
    double allowance;
    double drawn;
    double made;
  };
  // As deep as it was where there is room; never below 1 mm, and then it may reach the finished edge.
  for (const Case& c : {Case{8.0, 3.0, 3.0},
                        {3.5, 3.0, 3.0},
                        {3.0, 3.0, 2.5},
                        {2.0, 3.0, 1.5},
                        {1.5, 3.0, 1.0},
                        {1.2, 3.0, 1.0},
                        {0.0, 3.0, 1.0},
                        {4.0, 5.0, 3.5},
                        {8.0, 6.0, 6.0},
                        {8.0, 0.8, 0.8},
                        {0.0, 0.8, 0.8}}) {
    CAPTURE(c.allowance, c.drawn);
    GradedPiece piece = nicked(c.allowance, c.drawn);
    const OpenArcPath drawn = piece.lines[0].path;
    nicks_through_allowance(piece, 10.0);
    const OpenArcPath& made = piece.lines[0].path;
    REQUIRE(made.vertices.size() == 2);
    const Vec2 inward = unit(drawn.vertices[1].at - drawn.vertices[0].at);
    CHECK(distance(made.vertices[0].at, drawn.vertices[0].at - c.allowance * inward) < 1e-9);
    CHECK(distance(made.vertices[1].at, made.vertices[0].at + c.made * inward) < 1e-9);
  }
}

TEST_CASE("a drawn nick with no cut line in front of it stays as it is", "[nick]") {
  GradedPiece piece = nicked(30.0, 3.0);
  const OpenArcPath drawn = piece.lines[0].path;
  nicks_through_allowance(piece, 10.0);
  CHECK(distance(piece.lines[0].path.vertices[0].at, drawn.vertices[0].at) == 0.0);
  CHECK(distance(piece.lines[0].path.vertices[1].at, drawn.vertices[1].at) == 0.0);
}

TEST_CASE("a walk along an outline goes round its corners and back", "[nick]") {
  const ClosedArcPath box = test::box_path(60.0, 40.0);
  const OutlinePlace start{box.segment(0).point_at(0.5), 0, 0.5};
  CHECK(distance(walked(box, start, 10.0).at, box.segment(0).point_at(40.0 / 60.0)) < 1e-9);
  CHECK(distance(walked(box, start, 40.0).at, box.segment(1).point_at(0.25)) < 1e-9);
  CHECK(distance(walked(box, start, -40.0).at, box.segment(3).point_at(0.75)) < 1e-9);
  CHECK(distance(walked(box, start, 200.0).at, start.at) < 1e-9);
}
