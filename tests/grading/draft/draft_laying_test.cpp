// Pieces that are drawn apart, laid on their forme by edges they share.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "grading/style/forme_lookup.hpp"
#include "tests/support/drafted.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

// Whatever the side seam: straight, its own mirror image, nearly so, or neither.
TEST_CASE("a quarter drawn apart is laid as it lies, turned and turned over", "[draft][lay]") {
  const DrawnPiece vamp = court_upper().at(0);
  const DrawnPiece quarter = court_upper().at(1);
  const Vec2 top = quarter.strokes[1].to;
  const Vec2 foot = vamp.strokes[2].to;
  holds_for_all(
      "a quarter laid on its vamp",
      [&] {
        const double bend = *rc::gen::element(0.0, 1.5, 6.0, -5.0);
        const double aside = bend == 0.0 ? 0.0 : *rc::gen::element(0.0, 0.5, 1.0, 3.0);
        const Vec2 along = unit(top - foot);
        const Vec2 a = lerp(foot, top, 1.0 / 3.0) + bend * left_of(along) + aside * along;
        const Vec2 b = lerp(foot, top, 2.0 / 3.0) + bend * left_of(along) + aside * along;
        DrawnPiece sewn = vamp;
        DrawnPiece apart = quarter;
        if (bend != 0.0) {
          sewn.strokes[2] = curve_to(b, a, foot);
          apart.strokes[1] = curve_to(a, b, top);
        }
        const SheetPlace place{*rc::gen::inRange(0, 3600) / 10.0, *rc::gen::arbitrary<bool>(), {500, 300}};
        const Draft draft = draft_of(blocks_of({{sewn, {}}, {apart, place}}), true);
        RC_ASSERT(draft.style.formes.size() == 1);
        const FormeSpec& shell = draft.style.formes.front();
        const auto apart_by = [&](const char* one, const char* other) {
          return distance(drawn_place(shell, one), drawn_place(shell, other));
        };
        RC_ASSERT(std::abs(apart_by("heel", "toe") - norm(vamp.from)) < 0.02);
        RC_ASSERT(std::abs(apart_by("back top", "toe") - distance(quarter.strokes[2].to, vamp.from)) < 0.02);
        RC_ASSERT(std::abs(apart_by("heel", "back top") - norm(quarter.strokes[2].to)) < 0.02);
      },
      24);
}

namespace {

// All its curves in short chords, the same from either end, the first and last of them much shorter.
DrawnPiece in_chords(const DrawnPiece& piece, int chords, double first) {
  DrawnPiece made{piece.name, piece.from, {}, piece.text};
  Vec2 from = piece.from;
  for (const Stroke& stroke : piece.strokes) {
    if (stroke.inner.empty()) {
      made.strokes.push_back(stroke);
    } else {
      std::vector<double> shares{first / chords};
      for (int k = 1; k < chords; ++k) shares.push_back(static_cast<double>(k) / chords);
      shares.push_back(1.0 - first / chords);
      for (const double t : shares) made.strokes.push_back(line_to(first_part(from, stroke, t).to));
      made.strokes.push_back(line_to(stroke.to));
    }
    from = stroke.to;
  }
  return made;
}

}  // namespace

TEST_CASE("edges drawn alike in short chords are sewn together however closely they are faired",
          "[draft][lay]") {
  const Vec2 top = court_upper().at(1).strokes[1].to;
  const Vec2 foot = court_upper().at(0).strokes[2].to;
  std::size_t asked = 0;
  holds_for_all(
      "a seam is found whatever the fairing",
      [&] {
        DrawnPiece vamp = court_upper().at(0);
        DrawnPiece quarter = court_upper().at(1);
        const double bend = *rc::gen::element(3.0, 6.0, -5.0);
        const Vec2 along = unit(top - foot);
        const Vec2 a = lerp(foot, top, 1.0 / 3.0) + bend * left_of(along) + 1.5 * along;
        const Vec2 b = lerp(foot, top, 2.0 / 3.0) + bend * left_of(along) + 1.5 * along;
        vamp.strokes[2] = curve_to(b, a, foot);
        quarter.strokes[1] = curve_to(a, b, top);
        const int chords = *rc::gen::inRange(18, 30);
        const double first = *rc::gen::element(0.2, 0.4, 0.7);  // 0.2 to 1.5 mm
        const double fair = *rc::gen::element(0.005, 0.01, 0.02, 0.05, 0.1);
        const SheetPlace place{*rc::gen::inRange(0, 3600) / 10.0, *rc::gen::arbitrary<bool>(), {500, 300}};
        const Draft draft = draft_of(
            blocks_of({{in_chords(vamp, chords, first), {}}, {in_chords(quarter, chords, first), place}}),
            true, fair);
        RC_ASSERT(draft.style.formes.size() == 1);
        RC_ASSERT(draft.style.seams.size() == 1);
        RC_ASSERT(drafted_piece(draft, "vamp").edges.size() == 4);
        ++asked;
      },
      20);
  CHECK(asked >= 20);
}

namespace {

// Edges by their ends and seams by their pieces, whatever the figures.
std::set<std::string> edges_and_seams(const Draft& draft) {
  std::set<std::string> all;
  for (const PieceSpec& piece : draft.style.pieces) {
    for (const EdgeSpec& edge : piece.edges)
      all.insert(piece.name + ": " + edge.name + ", " + edge.from + " to " + edge.to);
  }
  for (const SeamSpec& seam : draft.style.seams)
    all.insert(seam.one.piece + ", " + seam.one.edge + " with " + seam.other.piece + ", " + seam.other.edge);
  return all;
}

}  // namespace

// A backstrap's upper edge is straight where the collar that it covers is hollow: its corner lies beside the
// collar, now on it as far as a drawing is fine, now off it, and nearer to it once the collar is faired.
TEST_CASE("what is drawn in chords has the same edges and seams however closely it is faired",
          "[draft][lay]") {
  std::size_t beside = 0;
  holds_for_all(
      "faired or not",
      [&] {
        // Finer than turns that are read as corners; the collar, which hardly bends, in longer ones.
        const int chords = *rc::gen::inRange(105, 125);
        const int of_collar = *rc::gen::element(40, 90);
        std::vector<DrawnPiece> upper = court_upper();
        upper.erase(upper.begin() + 5);  // without the stiffener and the vamp's lining
        upper.erase(upper.begin() + 3);
        const Vec2 side_top = upper[1].strokes[1].to;
        const Vec2 back_top = upper[1].strokes[2].to;
        const Stroke collar = upper[1].strokes[2];
        const double at = (0.9 * of_collar + *rc::gen::element(0.3, 0.5)) / of_collar;
        const Vec2 on = first_part(side_top, collar, at).to;
        const double off = *rc::gen::element(-0.04, 0.03, -0.02, 0.08, 0.11, 0.15);
        const Vec2 corner = on + off * left_of(unit(back_top - on));
        upper.push_back({"BACKSTRAP",
                         back_top,
                         {line_to(first_part(back_top, upper[1].strokes[3], 0.4).to),
                          line_to(corner + Vec2{0.5, -18}), line_to(corner), line_to(back_top)},
                         {6, 48}});
        for (const std::size_t quarter : {1, 2, 3}) {
          std::vector<Stroke>& strokes = upper[quarter].strokes;
          strokes.erase(strokes.begin() + 2);
          for (int k = of_collar; k > 0; --k)
            strokes.insert(strokes.begin() + 2,
                           line_to(first_part(side_top, collar, static_cast<double>(k) / of_collar).to));
        }
        std::vector<std::pair<DrawnPiece, SheetPlace>> drawn;
        for (const DrawnPiece& piece : upper) drawn.push_back({in_chords(piece, chords, 1.0), {}});
        const std::string text = blocks_of(drawn);
        const std::set<std::string> plain = edges_and_seams(draft_of(text));
        beside += std::abs(off) > kDraftSame ? 1 : 0;
        for (const double fair : {0.02, 0.1}) {
          const std::set<std::string> faired = edges_and_seams(draft_of(text, false, fair));
          for (const std::string& one : plain) {
            if (!faired.contains(one)) RC_FAIL("lost where faired: " + one);
          }
          RC_ASSERT(faired == plain);
        }
      },
      9);
  CHECK(beside > 1);
}

TEST_CASE("what lies on the line of a fold is the fold, whatever ends on it", "[draft][lay]") {
  const DrawnPiece vamp = court_upper().at(0);
  const Vec2 toe = vamp.from;
  const Stroke& forefoot = vamp.strokes[3];
  const Stroke part =
      first_part(toe, curve_to(forefoot.inner[1], forefoot.inner[0], vamp.strokes[2].to), 0.35);
  const Vec2 on_fold = lerp(toe, vamp.strokes[0].to, 0.5);
  const DrawnPiece puff{
      "TOE_PUFF",
      toe,
      {line_to(on_fold),
       curve_to(lerp(on_fold, part.to, 0.3) + Vec2{4, 1}, lerp(on_fold, part.to, 0.7) + Vec2{4, 1}, part.to),
       curve_to(part.inner[1], part.inner[0], toe)},
      {225, 10}};
  const Draft draft =
      draft_of(blocks_of({{vamp, {}}, {court_upper().at(1), {}}, {puff, {40.0, false, {500, 300}}}}), true);
  CHECK(proposes(draft, "toe puff is laid on vamp"));
  for (const char* piece : {"vamp", "toe puff"}) {
    INFO(piece);
    REQUIRE(drafted_piece(draft, piece).fold);
    const auto& edges = drafted_piece(draft, piece).edges;
    CHECK(std::count_if(edges.begin(), edges.end(), [](const EdgeSpec& edge) {
            return edge.name.starts_with("top line") || edge.name == "fold";
          }) == (std::string(piece) == "vamp" ? 2 : 1));
  }
}

TEST_CASE("a piece that fits as well turned over is left where it is drawn, and both ways are told",
          "[draft][lay]") {
  const auto straight = [](const char* name, std::vector<Vec2> corners) {
    DrawnPiece piece{name, corners.front(), {}, lerp(corners[0], corners[2], 0.5)};
    for (std::size_t i = 1; i <= corners.size(); ++i)
      piece.strokes.push_back(line_to(corners[i % corners.size()]));
    return piece;
  };
  const DrawnPiece plate = straight("PLATE", {{100, 0}, {200, 0}, {200, 57}, {100, 50}});
  const SheetPlace beside{40.0, true, {-300, 200}};
  const auto laid = [&](const DrawnPiece& wing) {
    return draft_of(blocks_of({{plate, {}}, {wing, beside}}), true);
  };
  // Square to the seam at both ends, so that it runs on either way.
  const Draft either = laid(straight("WING", {{30, 0}, {100, 0}, {100, 50}, {50, 50}}));
  const auto not_laid = [](const Draft& draft) {
    for (const std::string& one : draft.warnings) {
      if (one.starts_with("not laid: ")) return one;
    }
    return std::string();
  };
  const std::string told = not_laid(either);
  CHECK(told.find("not laid: wing could lie in 2 ways") == 0);
  CHECK((told.find("turned over and then by") != told.npos && told.find(": turned by") != told.npos));
  CHECK_FALSE(proposes(either, "is laid on"));
  for (const PieceSpec& piece : either.style.pieces) CHECK_FALSE(piece.lies);
  // The same with a seam that bends a little more above than below: the closer fit says it.
  const Vec2 low{101.5, 16};
  const Vec2 high{102.1, 34};
  DrawnPiece bent = plate;
  bent.strokes[3] = curve_to(high, low, {100, 0});
  DrawnPiece wing = straight("WING", {{30, 0}, {100, 0}, {100, 50}, {50, 50}});
  wing.strokes[1] = curve_to(low, high, {100, 50});
  const Draft closer = draft_of(blocks_of({{bent, {}}, {wing, beside}}), true);
  CHECK(not_laid(closer).empty());
  CHECK(proposes(closer, "wing is laid on plate by an edge they share, turned over"));
  // Its own mirror image: either way is the same.
  const Draft same = laid(straight("WING", {{30, 10}, {100, 0}, {100, 50}, {30, 40}}));
  CHECK(not_laid(same).empty());
  CHECK(proposes(same, "wing is laid on plate"));
}

// A feather that is the same from either end fits its mate in four ways; the other edges say which is meant.
TEST_CASE("a piece is laid the way in which most of its edges lie on edges", "[draft]") {
  const Stroke feather = curve_to({40, -14}, {80, -14}, {120, 0});
  const DrawnPiece lining{
      "QUARTER_LINING",
      {0, 0},
      {feather, line_to({138, 40}), curve_to({90, 42}, {40, 66}, {6, 62}), line_to({0, 0})},
      {40, 25}};
  DrawnPiece quarter = lining;
  quarter.name = "QUARTER";
  for (const bool over : {false, true}) {
    SheetPlace beside;
    beside.over = over;
    beside.degrees = 37.0;
    beside.shift = {460, 210};
    const DrawnPiece vamp{"VAMP",
                          {120, 0},
                          {curve_to({170, -12}, {215, -6}, {250, 10}), line_to({190, 44}), line_to({138, 40}),
                           line_to({120, 0})},
                          {180, 15}};
    const std::string text =
        section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
        section("BLOCKS", block_of(lining, {}) + block_of(vamp, {}) + block_of(quarter, beside)) +
        section("ENTITIES",
                tags("0 INSERT|8 0|2 QUARTER_LINING|10 0|20 0|0 INSERT|8 0|2 VAMP|10 0|20 0|0 INSERT|8 0|2 "
                     "QUARTER|10 0|20 0")) +
        "0\nEOF\n";
    const Draft draft = draft_of(text, true);
    const auto laid = std::find_if(draft.style.pieces.begin(), draft.style.pieces.end(),
                                   [](const PieceSpec& one) { return one.name == "quarter"; });
    REQUIRE(laid != draft.style.pieces.end());
    INFO((over ? "turned over" : "turned"));
    REQUIRE(laid->lies);
    CHECK(laid->lies->mirrored == over);
    // It lies on its lining: the seam of the vamp finds both.
    const auto sewn = [&](const char* piece) {
      return std::any_of(draft.style.seams.begin(), draft.style.seams.end(), [&](const SeamSpec& seam) {
        return (seam.one.piece == "vamp" && seam.other.piece == piece) ||
               (seam.other.piece == "vamp" && seam.one.piece == piece);
      });
    };
    CHECK(sewn("quarter"));
    CHECK(sewn("quarter lining"));
  }
}

// A large square that is no part of the shoe lies across the toe of the vamp, however the two are turned: the
// largest group on the sheet, on which nothing would stand.
TEST_CASE("what lies across another piece by chance does not keep the others from being laid",
          "[draft][lay]") {
  const DrawnPiece vamp = court_upper().at(0);
  const DrawnPiece quarter = court_upper().at(1);
  DrawnPiece square{"SQUARE", vamp.from + Vec2{-200, -200}, {}, vamp.from + Vec2{100, 100}};
  for (const Vec2 p : {Vec2{200, -200}, Vec2{200, 200}, Vec2{-200, 200}, Vec2{-200, -200}})
    square.strokes.push_back(line_to(vamp.from + p));
  std::size_t across = 0;
  holds_for_all(
      "the forme stands on the last",
      [&] {
        const SheetPlace place{*rc::gen::inRange(0, 3600) / 10.0, *rc::gen::arbitrary<bool>(), {1500, 900}};
        const Draft draft = draft_of(blocks_of({{vamp, place}, {quarter, {}}, {square, place}}), true);
        RC_ASSERT(proposes(draft, "vamp is laid on quarter outside"));
        RC_ASSERT(draft.style.formes.size() == 2u);
        const auto shell = std::find_if(draft.style.formes.begin(), draft.style.formes.end(),
                                        [](const FormeSpec& one) { return one.name == "shell"; });
        RC_ASSERT(shell != draft.style.formes.end());
        RC_ASSERT(std::abs(distance(drawn_place(*shell, "heel"), drawn_place(*shell, "toe")) -
                           norm(vamp.from)) < 0.02);
        RC_ASSERT(proposes(draft, "nothing shows where on a forme of the last they lie"));
        RC_ASSERT(!proposes(draft, "--lay"));
        ++across;
      },
      8);
  CHECK(across >= 8);
}
