#include "grading/sewn/sewn_profile.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "grading/sewn/sewn_curve.hpp"
#include "grading/sewn/sewn_fit.hpp"
#include "grading/sewn/sewn_points.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

// A stadium of four edges whose right end is an arc, grown by `grow`, with a hole, a nick and a stitch line.
GradedPiece stadium(const std::string& size, double grow) {
  GradedPiece piece;
  piece.piece = "tab";
  piece.at.size.label = size;
  piece.at.width.label = "F";
  const double l = 60.0 + grow;
  piece.net = {{{{{0, 0}, 0}, {{l, 0}, 1.0}, {{l, 30}, 0}, {{0, 30}, 0}}}, {0, 1, 2, 3}};
  piece.cut = piece.net;
  piece.lines.push_back({OpenArcPath{{{{10, 0}, 0}, {{10, 3}, 0}}}, Operation::kNick});
  piece.lines.push_back({OpenArcPath{{{{5, 5}, 0.1}, {{l, 5}, 0}}}, Operation::kStitch});
  piece.holes.push_back({{l / 2, 15}, 2.0, Operation::kHole});
  return piece;
}

}  // namespace

TEST_CASE("numbered points stand for the same place in every size", "[sewn]") {
  const std::vector<GradedPiece> sizes = {stadium("7", -6), stadium("8", 0), stadium("9", 6)};
  const auto set = sewn_set(sizes, 1, {{"bottom", "end", "top", "back"}, {}});
  REQUIRE(set.ok());
  CHECK(set->unruled == 0);
  REQUIRE(set->pieces.size() == 3);
  const SewnPiece& large = set->pieces[2];
  // Four corners, and points on the half circle: a chord of 0.1 mm bow on a radius of 18 takes 12 degrees.
  CHECK(std::count_if(large.boundary.points.begin(), large.boundary.points.end(),
                      [](const SewnPoint& p) { return p.turn; }) == 4);
  CHECK(large.boundary.points.size() >= 4 + 11);
  CHECK(large.boundary.points.size() <= 4 + 31);
  for (std::size_t i = 0; i < large.boundary.points.size(); ++i) {
    const Vec2 move = large.boundary.points[i].at - set->pieces[1].boundary.points[i].at;
    const bool back = set->pieces[1].boundary.points[i].at.x < 30.0;
    CHECK(norm(move - Vec2{back ? 0.0 : 6.0, 0.0}) < 1e-9);
  }
  CHECK(large.notches.at(0).at == Vec2{10, 0});
  CHECK(large.drill_holes.at(0).at == Vec2{33, 15});
  CHECK(large.sew_lines.size() == 1);

  GradeRuleTable table{"8 F", {"7 F", "8 F", "9 F"}, set->rules};
  const auto good = regrade(set->pieces, table);
  REQUIRE(good.ok());
  CHECK(good->points == 3 * set->rules.size());
  CHECK(good->largest < 1e-12);
  // A rule that is wrong is seen, and named.
  table.rules[2].moves[0].x += 0.5;
  const auto bad = regrade(set->pieces, table);
  REQUIRE(bad.ok());
  CHECK(std::abs(bad->largest - 0.5) < 1e-9);
  CHECK(bad->where == "tab 7 F, " + table.rules[2].point);
  table.rules.pop_back();
  CHECK_FALSE(regrade(set->pieces, table).ok());
}

TEST_CASE("what comes and goes with the size carries no rule, and is counted", "[sewn]") {
  std::vector<GradedPiece> sizes = {stadium("7", -6), stadium("8", 0), stadium("9", 6)};
  sizes[2].holes.push_back({{20, 15}, 2.0, Operation::kHole});
  const auto set = sewn_set(sizes, 1, {{"bottom", "end", "top", "back"}, {}});
  REQUIRE(set.ok());
  CHECK(set->unruled == 4);
  CHECK(set->pieces[2].drill_holes.size() == 2);
  for (const SewnPiece& piece : set->pieces) {
    for (const SewnMark& hole : piece.drill_holes) CHECK(hole.rule == 0);
  }
  const auto check = regrade(set->pieces, {"8 F", {"7 F", "8 F", "9 F"}, set->rules});
  REQUIRE(check.ok());
  CHECK(check->largest < 1e-12);
  CHECK_FALSE(sewn_set({}, 0, {}).ok());
}

TEST_CASE("bends that come and go are no corners; corners between edges are", "[sewn]") {
  // A top of two segments that are in line in one size and bent in the other.
  const auto roof = [](double rise) {
    return Track{{{{0, 0}, {40, 0}, 0},
                  {{40, 0}, {20, 10 + rise}, 0},
                  {{20, 10 + rise}, {0, 10}, 0},
                  {{0, 10}, {0, 0}, 0}},
                 {0, 1, 1, 2},
                 true};
  };
  const Track straight{
      {{{0, 0}, {40, 0}, 0}, {{40, 0}, {20, 5}, 0}, {{20, 5}, {0, 10}, 0}, {{0, 10}, {0, 0}, 0}},
      {0, 1, 1, 2},
      true};
  const NumberedTracks bent = number_tracks({roof(5), roof(8)}, 0, Millimetres(0.1));
  CHECK(bent.alike);
  CHECK(bent.points[0].size() == 4);
  const NumberedTracks mixed = number_tracks({roof(5), straight}, 0, Millimetres(0.1));
  CHECK(mixed.alike);
  CHECK(std::count_if(mixed.points[1].begin(), mixed.points[1].end(),
                      [](const TrackPoint& p) { return p.turn; }) == 3);
}

TEST_CASE("a line that begins elsewhere in another size keeps its numbers", "[sewn]") {
  // A lens: one edge, two corners that nothing but their place tells apart.
  const ClosedArcPath lens{{{{0, 0}, 0.4}, {{80, 10}, 0.3}}};
  const ClosedArcPath turned{{{{84, 10.5}, 0.3}, {{0, 0}, 0.4}}};
  const NumberedTracks numbered = number_tracks({track_of(lens), track_of(turned)}, 0, Millimetres(0.1));
  REQUIRE(numbered.alike);
  REQUIRE(numbered.points[0].size() == numbered.points[1].size());
  for (std::size_t i = 0; i < numbered.points[0].size(); ++i) {
    CHECK(distance(numbered.points[0][i].at, numbered.points[1][i].at) < 5.0);
  }
}

TEST_CASE("lines and splines through the numbered points follow the outline in every size", "[sewn]") {
  test::holds_for_all(
      "within the tolerance",
      [] {
        const auto seed = static_cast<std::uint64_t>(*rc::gen::inRange(1, 1 << 20));
        const double tolerance = *rc::gen::element(0.05, 0.1, 0.5);
        std::vector<GradedPiece> sizes;
        for (const double grow : {0.8, 1.0, 1.3}) {
          GradedPiece piece;
          piece.piece = "blob";
          piece.at.size.label = std::to_string(sizes.size());
          piece.at.width.label = "F";
          piece.net.path = test::stretched(test::blob(seed), 3.0 * grow, 2.5 * grow);
          for (std::size_t i = 0; i < piece.net.path.size(); ++i)
            piece.net.edge.push_back(static_cast<std::uint16_t>(i / 5));
          piece.cut = piece.net;
          piece.lines.push_back(
              {OpenArcPath{{{{0, 0}, 0.02}, {{120 * grow, 9}, -0.1}, {{150, 30}, 0}}}, Operation::kStitch});
          piece.cut_outs.push_back({{{{0, 0}, 1.0}, {{40 * grow, 0}, 1.0}}});
          sizes.push_back(piece);
        }
        SewnOptions options;
        options.tolerance = Millimetres(tolerance);
        const auto set = sewn_set(sizes, 1, {}, options);
        RC_ASSERT(set.ok());
        for (std::size_t k = 0; k < sizes.size(); ++k) {
          const auto fit = fit_of(set->pieces[k], sizes[k]);
          RC_ASSERT(fit.ok());
          RC_ASSERT(fit->straight <= tolerance + kSewnFit);
          RC_ASSERT(fit->smooth <= tolerance + kSewnFit);
          RC_ASSERT(fit->dense <= options.dense.value() + 2.0 * kSewnFit);
          // Not because there are points everywhere.
          RC_ASSERT(set->pieces[k].boundary.points.size() < 400);
        }
      },
      20);
}

TEST_CASE("the fit says by how much a point, a curve or a line is off", "[sewn]") {
  const std::vector<GradedPiece> sizes = {stadium("7", -6), stadium("8", 0), stadium("9", 6)};
  const auto set = sewn_set(sizes, 1, {{"bottom", "end", "top", "back"}, {}});
  REQUIRE(set.ok());
  REQUIRE(fit_of(set->pieces[2], sizes[2]).ok());
  // A corner moved by 2 mm.
  SewnPiece drawn = set->pieces[2];
  drawn.boundary.points[0].at.x -= 2.0;
  CHECK(fit_of(drawn, sizes[2])->straight == Approx(2.0).margin(2.0 * kSewnFit));
  CHECK(fit_of(drawn, sizes[2])->where == "tab 9 F, cut line");
  // Every second point of the half circle left out: four times the bow.
  drawn = set->pieces[2];
  std::vector<SewnPoint> fewer;
  for (const SewnPoint& point : drawn.boundary.points) {
    if (point.turn || fewer.size() % 2 == 0 || fewer.back().turn)
      fewer.push_back(point);
    else
      fewer.back() = point;
  }
  drawn.boundary.points = fewer;
  CHECK(fit_of(drawn, sizes[2])->straight > 0.11);
  drawn = set->pieces[2];
  drawn.boundary.dense.resize(drawn.boundary.dense.size() - 5);
  CHECK(fit_of(drawn, sizes[2])->dense > 0.5);
  // What is missing is no small distance.
  for (int lost = 0; lost < 3; ++lost) {
    drawn = set->pieces[2];
    if (lost == 0) drawn.sew_lines.clear();
    if (lost == 1) drawn.notches.clear();
    if (lost == 2) drawn.drill_holes.clear();
    CHECK_FALSE(fit_of(drawn, sizes[2]).ok());
  }
}

TEST_CASE("splines go through their points, and a circle's stays on it", "[sewn]") {
  std::vector<Vec2> points;
  constexpr int kPoints = 24;
  for (int i = 0; i < kPoints; ++i)
    points.push_back(50.0 * turned({1, 0}, 2.0 * std::acos(-1.0) * i / kPoints));
  const std::vector<Vec2> closed = spline_through(points, true, 16);
  REQUIRE(closed.size() == 16 * kPoints);
  for (std::size_t i = 0; i < closed.size(); ++i) {
    if (i % 16 == 0) CHECK(distance(closed[i], points[i / 16]) < 1e-12);
    CHECK(norm(closed[i]) == Approx(50.0).margin(1e-3));
  }
  const std::vector<Vec2> open = spline_through(points, false, 16);
  CHECK(open.size() == 16 * (kPoints - 1) + 1);
  CHECK(distance(open.back(), points.back()) < 1e-12);
  // Away from its ends, which do not bend, it is the same.
  CHECK(norm(open[16 * 12 + 8]) == Approx(50.0).margin(2e-3));
  CHECK(spline_through(std::vector<Vec2>{{0, 0}, {1, 1}}, false, 16).size() == 2);
}

TEST_CASE("where no shared points follow a line in every size, each size has its own that do", "[sewn]") {
  // A corner rounded by an edge of its own, which is very short in the small size: points at shared shares
  // would lie too close together there before they followed the large one.
  const auto rounded = [](double r) {
    const double quarter = std::tan(std::acos(-1.0) / 8.0);
    return Track{{{{0, 0}, {40, 0}, 0},
                  {{40, 0}, {40, 30 - r}, 0},
                  {{40, 30 - r}, {40 - r, 30}, quarter},
                  {{40 - r, 30}, {0, 30}, 0},
                  {{0, 30}, {0, 0}, 0}},
                 {0, 1, 2, 3, 4},
                 true};
  };
  const std::vector<Track> sizes = {rounded(0.1), rounded(8)};
  const NumberedTracks numbered = number_tracks(sizes, 0, Millimetres(0.1));
  for (std::size_t k = 0; k < sizes.size(); ++k) {
    // The straight lines from point to point, by the middles and the ends of the segments.
    const auto& points = numbered.points[k];
    for (const ArcSegment& segment : sizes[k].segments) {
      for (const double t : {0.0, 0.25, 0.5, 0.75}) {
        double off = INFINITY;
        for (std::size_t i = 0; i < points.size(); ++i) {
          off = std::min(off, ArcSegment{points[i].at, points[(i + 1) % points.size()].at, 0.0}.distance_to(
                                  segment.point_at(t)));
        }
        CHECK(off <= 0.1);
      }
    }
  }
  CHECK_FALSE(numbered.alike);
}
