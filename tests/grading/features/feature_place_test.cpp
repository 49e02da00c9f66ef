// Features by their definition, on outlines nobody chose.
#include "grading/features/feature_place.hpp"

#include <catch2/catch.hpp>

#include <cmath>

#include "tests/support/blob.hpp"
#include "tests/support/feature_panel.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

using Ground = test::FeaturePanel;

CourseSpec along(const char* edge, double inset, double start = 0, double end = 0) {
  return {{edge}, {}, Millimetres(inset), Millimetres(start), Millimetres(end)};
}

// Whether p has its distance from the edge. Beside a corner the line runs on to its mitre, as a seam is sewn:
// there it is further off, by no more than four times as is usual for a mitre.
bool keeps(const OpenArcPath& edge, Vec2 p, double inset) {
  double nearest = INFINITY;
  bool at_corner = false;
  for (std::size_t i = 0; i < edge.size(); ++i) {
    const ArcSegment s = edge.segment(i);
    const Vec2 foot = s.point_at(s.nearest(p));
    if (distance(foot, p) >= nearest - 1e-9) continue;
    nearest = distance(foot, p);
    at_corner = (i > 0 && distance(foot, s.a) < 1e-6) || (i + 1 < edge.size() && distance(foot, s.b) < 1e-6);
  }
  return nearest > inset - 1e-5 && nearest < (at_corner ? 4.0 * inset : inset) + 1e-5;
}

}  // namespace

TEST_CASE("an eyelet row on a straight edge stands where the formula says", "[features]") {
  Ground ground(test::box_path(200, 100), 0.0, 4);
  RowWork row{RowKind::kEyelets, along("edge 0", 12, 10, 20), {}, {{{}, {}, Millimetres(4.5)}}};
  row.spacing.count = 6;
  ground.piece.features = {{"eyelets", row, {}}};
  const auto placed = ground.place();
  REQUIRE(placed);
  const auto& holes = placed->front().holes;
  REQUIRE(holes.size() == 6);
  for (std::size_t i = 0; i < 6; ++i) {
    CHECK(holes[i].centre.x == Approx(-100 + 10 + 34.0 * static_cast<double>(i)).epsilon(1e-12));
    CHECK(holes[i].centre.y == Approx(-38).epsilon(1e-12));
    CHECK(holes[i].radius == 2.25);
  }
}

TEST_CASE("holes of a unit and further rows of stitches stand to the inner side", "[features]") {
  Ground ground(test::box_path(200, 100), 0.0, 4);
  RowWork row{RowKind::kEyelets,
              along("edge 0", 12, 10, 20),
              {},
              {{{}, {}, Millimetres(4.5)}, {Millimetres(2.0), Millimetres(3.0), Millimetres(2.0)}}};
  row.spacing.count = 2;
  ground.piece.features = {
      {"perforation", row, {}},
      {"stitches", LineWork{LineKind::kStitch, along("edge 0", 6), 3, Millimetres(1.5)}, {}}};
  const auto placed = ground.place();
  REQUIRE(placed);
  const auto& holes = placed->front().holes;
  REQUIRE(holes.size() == 4);
  CHECK(distance(holes[0].centre, {-90, -38}) < 1e-9);
  CHECK(distance(holes[1].centre, {-88, -35}) < 1e-9);
  const auto& lines = placed->back().lines;
  REQUIRE(lines.size() == 3);
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(lines[i].path.vertices.front().at.y == Approx(-44 + 1.5 * static_cast<double>(i)));
}

TEST_CASE("rows and stitch lines keep their distance from the edge they follow", "[features]") {
  int made = 0;
  test::holds_for_all("holes and stitches stand at the inset, margins and pitch", [&] {
    const auto seed = static_cast<std::uint64_t>(*rc::gen::inRange(1, 1 << 20));
    Ground ground(test::blob(seed), 3.0);
    const double inset = *rc::gen::inRange(10, 60) / 10.0;
    const int count = *rc::gen::inRange(2, 9);
    RowWork row{RowKind::kEyelets, along("edge 1", inset, 4, 6), {}, {{{}, {}, Millimetres(3)}}};
    row.spacing.count = count;
    ground.piece.features = {{"row", row, {}},
                             {"line", LineWork{LineKind::kStitch, along("edge 1", inset), 1, {}}, {}}};
    const auto placed = ground.place();
    if (!placed) return;  // the outline is narrower than the inset there: counted below
    ++made;
    const OpenArcPath edge = ground.edge(1);
    RC_ASSERT((*placed)[0].holes.size() == static_cast<std::size_t>(count));
    for (const GradedHole& hole : (*placed)[0].holes) {
      RC_ASSERT(keeps(edge, hole.centre, inset));
      RC_ASSERT(hole.radius == 1.5);
    }
    const OpenArcPath& line = (*placed)[1].lines.front().path;
    for (std::size_t i = 0; i < line.size(); ++i) {
      for (const double t : {0.0, 0.3, 0.5, 1.0}) RC_ASSERT(keeps(edge, line.segment(i).point_at(t), inset));
    }
    // Margins and pitch, measured along the finely flattened line.
    const std::vector<Vec2> fine = flattened(line, Millimetres(1e-5));
    const auto reached = [&](Vec2 p) {
      double best = INFINITY;
      double at = 0.0;
      double walked = 0.0;
      for (std::size_t i = 0; i + 1 < fine.size(); ++i) {
        const ArcSegment chord{fine[i], fine[i + 1], 0.0};
        const double t = chord.nearest(p);
        const double off = distance(chord.point_at(t), p);
        if (off < best) {
          best = off;
          at = walked + t * chord.chord();
        }
        walked += chord.chord();
      }
      return std::pair(at, walked);
    };
    const auto& holes = (*placed)[0].holes;
    const double whole = reached(holes[0].centre).second;
    const double pitch = (whole - 10.0) / (count - 1);
    for (int i = 0; i < count; ++i) {
      const double at = reached(holes[static_cast<std::size_t>(i)].centre).first;
      RC_ASSERT(std::abs(at - (4.0 + i * pitch)) < 2e-3);
    }
  });
  CHECK(made > 60);
}

TEST_CASE("nicks go through the allowance to exactly their depth", "[features]") {
  int placed_all = 0;
  test::holds_for_all("a nick reaches its depth from the cut line", [&] {
    const auto seed = static_cast<std::uint64_t>(*rc::gen::inRange(1, 1 << 20));
    Ground ground(test::blob(seed), 6.0);
    const double depth = *rc::gen::inRange(15, 50) / 10.0;
    const Fraction share(*rc::gen::inRange(30, 71), 100);
    const std::uint16_t edge = static_cast<std::uint16_t>(*rc::gen::inRange(0, 3));
    const std::string name = "edge " + std::to_string(edge);
    for (const NickForm form : {NickForm::kSlit, NickForm::kVee, NickForm::kRound, NickForm::kOutward}) {
      ground.piece.features.push_back(
          {name_of(form),
           NickWork{name, {share, {}, false}, {form, Millimetres(depth), Millimetres(2)}},
           {}});
    }
    const auto placed = ground.place();
    if (!placed) {  // only in a hollow so narrow that the cut line is nowhere near the place
      RC_ASSERT(to_text(placed.problem()).find("the cut line is not found") != std::string::npos);
      RC_ASSERT(ground.deep(edge, share.value(), 2 * 6.0 + 1.0));
      return;
    }
    ++placed_all;
    const ClosedArcPath& cut = ground.graded.cut.path;
    for (std::size_t f = 0; f < 4; ++f) {
      const PlacedNick& nick = (*placed)[f].nicks.front();
      RC_ASSERT(distance_to(cut, nick.at.at) < 1e-6);
      RC_ASSERT(distance_to(cut, nick.path.vertices.front().at) < 1e-6);
      // The farthest point of the nick from its middle on the cut line is its tip.
      Vec2 tip =
          nick.path.vertices[nick.shape.form == NickForm::kSlit ? 1 : nick.path.vertices.size() / 2].at;
      if (nick.shape.form == NickForm::kRound) tip = nick.path.segment(1).point_at(0.5);
      RC_ASSERT(std::abs(distance(nick.at.at, tip) - depth) < 1e-9);
      RC_ASSERT(contains(cut, tip) == (nick.shape.form != NickForm::kOutward));
      if (nick.shape.form == NickForm::kSlit) continue;
      RC_ASSERT(distance_to(cut, nick.path.vertices.back().at) < 1e-6);
      RC_ASSERT(distance(nick.path.vertices.front().at, nick.path.vertices.back().at) < 2.0 + 1e-9);
    }
    // Away from corners the nick stands over its place on the finished edge, the allowance away.
    const PlacedNick& slit = placed->front().nicks.front();
    RC_ASSERT(slit.allowance < 2 * 6.0 + 1.0);
  });
  CHECK(placed_all > 90);
}

TEST_CASE("a nick on a straight edge with an allowance, by hand", "[features]") {
  Ground ground(test::box_path(200, 100), 8.0, 4);
  ground.piece.features = {
      {"slit", NickWork{"edge 0", {{}, Millimetres(50), false}, {NickForm::kSlit, Millimetres(3), {}}}, {}},
      {"vee",
       NickWork{"edge 0", {{}, Millimetres(50), true}, {NickForm::kVee, Millimetres(3), Millimetres(4)}},
       {}}};
  const auto placed = ground.place();
  REQUIRE(placed);
  const PlacedNick& slit = placed->at(0).nicks.at(0);
  CHECK(slit.allowance == Approx(8));
  CHECK(distance(slit.path.vertices[0].at, {-50, -58}) < 1e-9);
  CHECK(distance(slit.path.vertices[1].at, {-50, -55}) < 1e-9);
  const PlacedNick& vee = placed->at(1).nicks.at(0);
  CHECK(distance(vee.path.vertices[0].at, {48, -58}) < 1e-9);
  CHECK(distance(vee.path.vertices[1].at, {50, -55}) < 1e-9);
  CHECK(distance(vee.path.vertices[2].at, {52, -58}) < 1e-9);
}

TEST_CASE("slots, buckle bars, skive bands, texts and pair numbers by hand", "[features]") {
  Ground ground(test::box_path(200, 100), 8.0, 4);
  ground.forme.points = {{"middle", {10, 20}}};
  const FormePlace middle{std::string("middle"), {5, 0}};
  ground.piece.features = {
      {"slot", SlotWork{middle, Millimetres(20), Millimetres(4), 0.0}, {}},
      {"bar",
       BuckleBarWork{FormePlace{Vec2{-40, 0}, {}}, Millimetres(25), Millimetres(16), Millimetres(5), 0.0},
       {}},
      {"skive", SkiveWork{{"edge 0"}, Millimetres(12), Millimetres(0.8)}, {}},
      {"text",
       TextWork{EdgePlace{"edge 2", {{Fraction(1, 2)}, {}, false}, Millimetres(10)},
                "{piece} {size} {width} {style}", Millimetres(5), 180},
       {}},
      {"pair", PairNumberWork{FormePlace{Vec2{0, 0}, {}}, Millimetres(18), Millimetres(8), 0.0}, {}}};
  const auto placed = ground.place();
  REQUIRE(placed);
  const ClosedArcPath& slot = placed->at(0).cut_outs.at(0);
  CHECK(signed_area(slot) == Approx(16 * 4 + 3.14159265358979 * 4));
  CHECK(bounds(slot).low.x == Approx(5));
  CHECK(bounds(slot).high.x == Approx(25));
  CHECK(bounds(slot).low.y == Approx(18));
  CHECK(placed->at(1).cut_outs.size() == 1);
  REQUIRE(placed->at(1).lines.size() == 2);
  CHECK(placed->at(1).lines[0].operation == Operation::kFold);
  CHECK(distance(placed->at(1).lines[0].path.vertices[0].at, {-40, -12.5}) < 1e-9);
  // 12 mm from the cut edge is 4 mm inside the finished
  // edge, and the band runs on to the cut line at both ends.
  const OpenArcPath& band = placed->at(2).lines.at(0).path;
  CHECK(distance(band.vertices.front().at, {-108, -46}) < 1e-6);
  CHECK(distance(band.vertices.back().at, {108, -46}) < 1e-6);
  CHECK(placed->at(2).texts.at(0).text == "skive 12 x 0.8");
  const SheetText& text = placed->at(3).texts.at(0);
  CHECK(text.text == "piece 8 F Blob");
  CHECK(distance(text.at, {0, 40}) < 1e-9);
  CHECK(std::abs(std::sin(text.angle.value())) < 1e-9);
  CHECK(length(placed->at(4).lines.at(0).path) == Approx(52));
}

TEST_CASE("size marks follow their code", "[features]") {
  Ground ground(test::box_path(200, 100), 8.0, 4);
  ground.style.codes = {{"sizes", CodeOf::kSize, {{"8", {1, 3}}, {"9", {2}}}},
                        {"widths", CodeOf::kWidth, {{"F", {2}}}}};
  ground.piece.features = {
      {"size", SizeMarksWork{"sizes", "edge 0", {{}, Millimetres(20), false}, Millimetres(5), {}}, {}},
      {"width", SizeMarksWork{"widths", "edge 0", {{}, Millimetres(20), true}, Millimetres(5), {}}, {}}};
  const auto placed = ground.place();
  REQUIRE(placed);
  REQUIRE(placed->at(0).nicks.size() == 2);
  CHECK(placed->at(0).nicks[0].at.at.x == Approx(-80));
  CHECK(placed->at(0).nicks[1].at.at.x == Approx(-70));
  CHECK(placed->at(0).nicks[1].tells == NickTells{true, false});
  REQUIRE(placed->at(1).nicks.size() == 1);
  CHECK(placed->at(1).nicks[0].at.at.x == Approx(75));
  CHECK(placed->at(1).nicks[0].tells == NickTells{false, true});

  ground.run.stated_sizes.push_back({Fraction(10), "10"});
  const auto plan = plan_features(ground.style, ground.piece, ground.forme, ground.run);
  REQUIRE_FALSE(plan);
  CHECK(to_text(plan.problem()).find("no marks for the size \"10\"") != std::string::npos);
}

TEST_CASE("a piece that is cut double gets its features on both halves, those on the fold once",
          "[features]") {
  // A box of 100 x 60 about the origin; the drawn half is y < 0, the fold runs along x back to -50.
  Ground ground(ClosedArcPath{{{{-50, 0}}, {{-50, -30}}, {{50, -30}}, {{50, 0}}, {{50, 30}}, {{-50, 30}}}},
                0.0, 1);
  ground.piece.edges.clear();
  for (const char* name : {"left", "bottom", "right", "fold"})
    ground.piece.edges.push_back({name, "", "", Treatment::kRaw, {}, {}, false});
  ground.piece.fold = "fold";
  ground.graded.net.edge = {0, 1, 2, 2, 1, 0};
  ground.graded.cut = ground.graded.net;
  RowWork row{RowKind::kEyelets, along("left", 5, 0, 6), {}, {{{}, {}, Millimetres(2)}}};
  row.spacing.count = 5;
  ground.piece.features = {{"row", row, {}},
                           {"line", LineWork{LineKind::kStitch, along("bottom", 4), 1, {}}, {}},
                           {"round", LineWork{LineKind::kStitch, along("right", 4), 1, {}}, {}},
                           {"centre", NickWork{"fold", {{Fraction(0)}, {}, false}, {}}, {}},
                           {"side", NickWork{"bottom", {{Fraction(1, 4)}, {}, false}, {}}, {}},
                           {"hole", HoleWork{FormePlace{Vec2{10, 0}, {}}, Millimetres(3)}, {}},
                           {"text", TextWork{FormePlace{Vec2{10, -10}, {}}, "x", Millimetres(3), 0}, {}}};
  const FeaturePlan plan = *plan_features(ground.style, ground.piece, ground.forme, ground.run);
  const std::vector<Millimetres> outside(4);
  const auto placed = place_features({ground.piece, plan, plan.spots, FoldLine{{50, 0}, {-50, 0}},
                                      ground.graded, outside, ground.graded.at.size});
  REQUIRE(placed);
  const auto& holes = placed->at(0).holes;  // through the fold: 60 long, margins of the free end at both ends
  REQUIRE(holes.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(holes[i].centre.x == Approx(-45));
    CHECK(holes[i].centre.y == Approx(24 - 12.0 * static_cast<double>(i)).margin(1e-9));
  }
  CHECK(placed->at(1).lines.size() == 2);
  REQUIRE(placed->at(2).lines.size() == 1);  // one line through the fold
  CHECK(length(placed->at(2).lines[0].path) == Approx(60));
  REQUIRE(placed->at(3).nicks.size() == 1);
  CHECK(distance(placed->at(3).nicks[0].at.at, {50, 0}) < 1e-9);
  CHECK(distance(placed->at(3).nicks[0].path.vertices[1].at, {47, 0}) < 1e-9);
  REQUIRE(placed->at(4).nicks.size() == 2);
  CHECK(distance(placed->at(4).nicks[1].path.vertices[0].at, {-25, 30}) <
        1e-9);  // a slit starts on the cut line
  CHECK(placed->at(5).holes.size() == 1);
  CHECK(placed->at(6).texts.size() == 1);
}
