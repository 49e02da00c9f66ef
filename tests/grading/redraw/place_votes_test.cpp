// Points on the outline of a piece that is laid from elsewhere on the sheet, when it is drawn anew.
#include "grading/redraw/place_votes.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "grading/redraw/shared_corners.hpp"

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

TEST_CASE("corners that met and lie apart now are told with the places of all, once each", "[redraw]") {
  // Three pieces over each other, however the drawing lays each: the corners of one side move in some of
  // them.
  const auto boxes = [](const std::vector<double>& widths) {
    const char* const names[] = {"vamp", "inside vamp", "vamp lining"};
    std::vector<BoundPiece> pieces;
    for (const double width : widths) {
      pieces.push_back(laid_box(width));
      pieces.back().spec.name = names[pieces.size() - 1];
    }
    return pieces;
  };
  const auto told = [&](std::vector<double> was, std::vector<double> now) {
    return parted_corners(boxes(was), boxes(now));
  };
  CHECK(told({100, 100, 100}, {104, 104, 104}).empty());
  CHECK(told({100, 100, 100}, {100.04, 100, 100}).empty());  // drawn the same
  CHECK(told({100, 90, 80}, {100, 100, 80}).empty());        // they meet now, and did not
  for (const double by : {0.6, 4.0, 40.0}) {
    const auto one = told({100, 100, 100}, {100, 100 + by, 100});
    REQUIRE(one.size() == 2);  // the lower and the upper corner
    CHECK(
        one.front() ==
        fmt::format("forme shell: corners that met at (100.000, 0.000) no longer meet, {0:.3f} mm apart now: "
                    "vamp, corner side and vamp lining, corner side at (100.000, 0.000), and inside vamp, "
                    "corner side at ({1:.3f}, 0.000): draw them to one place, unless they are meant apart",
                    by, 100 + by));
  }
  CHECK(told({100, 100, 100}, {100, 101, 102}).size() == 2);
  // What missed by a little before misses by more only where it has moved.
  CHECK(told({100, 100.04, 100}, {104, 104.08, 104}).empty());
}

}  // namespace lastwright
