// Points on the outline of a piece that is laid from elsewhere on the sheet, when it is drawn anew.
#include "grading/redraw/place_votes.hpp"

#include <catch2/catch.hpp>
#include <cmath>

namespace lastwright {

namespace {

BoundPiece laid_box(double width) {
  BoundPiece piece;
  piece.spec.name = "vamp";
  piece.spec.forme = "shell";
  piece.lie = PieceLie{};
  const Vec2 corners[] = {{0, 0}, {width, 0}, {width, 40}, {0, 40}};
  const char* const names[] = {"feather", "side", "top", "fold"};
  for (std::size_t i = 0; i < 4; ++i) {
    EdgeSpec spec;
    spec.name = names[i];
    spec.from = names[i];
    spec.to = names[(i + 1) % 4];
    RawOutline raw;
    raw.curves.emplace_back(Line{corners[i], corners[(i + 1) % 4]});
    piece.edges.push_back({spec, *make_open_chain(std::move(raw), Millimetres(1e-3))});
  }
  return piece;
}

}  // namespace

TEST_CASE("a point on the edge of a laid piece goes to the same share of it, or is refused with the way out",
          "[redraw]") {
  FormeSpec forme;
  forme.name = "shell";
  forme.points = {{"ball top", {100, 10}}, {"joint", {25, 0}}, {"away", {50, 20}}};
  const BoundPiece before = laid_box(100);
  const BoundPiece after = laid_box(104);
  const auto nobody = [](const std::string&) { return false; };
  const auto votes_of = [&](bool slide) {
    PlaceVotes votes;
    vote_by_laid(before.spec, forme, before, after, nobody, slide, votes);
    return votes;
  };
  // The joint's line runs on as it did; what lies on no edge is nobody's.
  const PlaceVotes slid = votes_of(true);
  REQUIRE(slid.size() == 1);
  REQUIRE(slid.begin()->first == "/formes/shell/points/ball top");
  const CornerFound& found = slid.begin()->second.front().found;
  CHECK(found.problem.empty());
  CHECK(found.how == FoundHow::kSlid);
  CHECK(distance(found.at, {104, 10}) < 1e-9);
  const PlaceVotes kept = votes_of(false);
  REQUIRE(kept.size() == 1);
  const std::string& problem = kept.begin()->second.front().found.problem;
  CHECK(problem.find("the same share of its edge side is at (104.000, 10.000)") != std::string::npos);
  CHECK(problem.find("--slide") != std::string::npos);
  CHECK(problem.find(R"({"from": ..., "toward": ..., "distance": ...})") != std::string::npos);
}

}  // namespace lastwright
