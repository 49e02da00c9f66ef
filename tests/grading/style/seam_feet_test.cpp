#include "grading/style/seam_feet.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "grading/checks/seams/seam_feet_check.hpp"
#include "grading/style/drawn_feet.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

PieceSpec hand_piece(const std::string& name, const std::string& foot, const std::string& layer = "uppers",
                     int per_pair = 2) {
  PieceSpec piece;
  piece.name = name;
  piece.drawn_foot = foot;
  piece.layer = layer;
  piece.per_pair = per_pair;
  return piece;
}

void sew(StyleSpec& style, const std::string& one, const std::string& other, bool mirrored = false) {
  SeamSpec seam;
  seam.name = "s" + std::to_string(style.seams.size());
  seam.one = {one, "e"};
  seam.other = {other, "e"};
  seam.mirrored = mirrored;
  style.seams.push_back(seam);
}

std::vector<bool> all_handed(const StyleSpec& style) {
  return std::vector<bool>(style.pieces.size(), true);
}

std::set<std::size_t> faulty_seams(const StyleSpec& style) {
  std::set<std::size_t> seams;
  for (const SeamFeetFault& fault : seam_feet_faults(style, all_handed(style))) seams.insert(fault.seam);
  return seams;
}

struct ShoeSize {
  int pieces;
  int layers;
};
StyleSpec random_shoe(const ShoeSize& of, const std::vector<std::string>& feet) {
  StyleSpec style;
  for (int p = 0; p < of.pieces; ++p)
    style.pieces.push_back(hand_piece("p" + std::to_string(p), *rc::gen::elementOf(feet),
                                      "l" + std::to_string(*rc::gen::inRange(0, of.layers))));
  const int seams = *rc::gen::inRange(1, 9);
  for (int k = 0; k < seams; ++k) {
    const int one = *rc::gen::inRange(0, of.pieces);
    const int other = (one + *rc::gen::inRange(1, of.pieces)) % of.pieces;
    sew(style, "p" + std::to_string(one), "p" + std::to_string(other), *rc::gen::arbitrary<bool>());
  }
  return style;
}

std::size_t place_of_name(const StyleSpec& style, const std::string& piece) {
  return static_cast<std::size_t>(std::find_if(style.pieces.begin(), style.pieces.end(),
                                               [&](const PieceSpec& one) { return one.name == piece; }) -
                                  style.pieces.begin());
}

// By trying all: feet for the pieces that state none, and for each layer whether it lies turned over.
bool some_feet_fit(const StyleSpec& style, int layers) {
  const std::size_t n = style.pieces.size();
  for (unsigned feet = 0; feet < 1u << n; ++feet) {
    const auto right = [&](std::size_t p) { return (feet >> p & 1u) != 0; };
    bool stated = true;
    for (std::size_t p = 0; p < n; ++p) {
      const std::string foot = drawn_foot_of(style, style.pieces[p]);
      if (!foot.empty() && (foot == "right") != right(p)) stated = false;
    }
    if (!stated) continue;
    for (unsigned over = 0; over < 1u << layers; ++over) {
      const auto lies = [&](std::size_t p) {
        const auto layer = static_cast<unsigned>(style.pieces[p].layer[1] - '0');
        return right(p) != ((over >> layer & 1u) != 0);
      };
      const bool fit = std::all_of(style.seams.begin(), style.seams.end(), [&](const SeamSpec& seam) {
        return (lies(place_of_name(style, seam.one.piece)) != lies(place_of_name(style, seam.other.piece))) ==
               seam.mirrored;
      });
      if (fit) return true;
    }
  }
  return false;
}

}  // namespace

TEST_CASE("with every foot stated those seams are told that contradict it, and no others", "[seam_feet]") {
  test::holds_for_all(
      "told = contradicted",
      [] {
        const StyleSpec style = random_shoe({*rc::gen::inRange(2, 7), 1}, {"left", "right"});
        std::set<std::size_t> against;
        for (std::size_t s = 0; s < style.seams.size(); ++s) {
          const SeamSpec& seam = style.seams[s];
          const bool unlike = drawn_foot_of(style, seam.one.piece) != drawn_foot_of(style, seam.other.piece);
          if (unlike != seam.mirrored) against.insert(s);
        }
        std::set<std::size_t> stated;
        for (const SeamFeetFault& fault : seam_feet_faults(style, all_handed(style))) {
          if (fault.kind == SeamFeetFault::Kind::kLoop) continue;
          RC_ASSERT(fault.kind == SeamFeetFault::Kind::kStated);
          stated.insert(fault.seam);
        }
        RC_ASSERT(stated == against);
        std::vector<StyleFinding> findings;
        add_seam_feet(style, {}, findings);
        const bool failed =
            std::any_of(findings.begin(), findings.end(), [](auto& one) { return !one.passed; });
        RC_ASSERT(failed == !against.empty());
      },
      100);
}

TEST_CASE("seams and feet are told exactly where no feet of the others fit, over layers too", "[seam_feet]") {
  test::holds_for_all(
      "told = nothing fits",
      [] {
        const int layers = *rc::gen::inRange(1, 4);
        StyleSpec style = random_shoe({*rc::gen::inRange(2, 6), layers}, {"", "", "left", "right"});
        style.drawn_foot = *rc::gen::element<std::string>("", "", "left", "right");
        RC_ASSERT(faulty_seams(style).empty() == some_feet_fit(style, layers));
        // A fault that is none but for the feet goes when none is stated.
        StyleSpec silent = style;
        silent.drawn_foot.clear();
        for (PieceSpec& piece : silent.pieces) piece.drawn_foot.clear();
        const auto faults = seam_feet_faults(silent, all_handed(silent));
        RC_ASSERT(std::all_of(faults.begin(), faults.end(), [](const SeamFeetFault& one) {
          return one.kind == SeamFeetFault::Kind::kLoop;
        }));
      },
      150);
}

TEST_CASE("a piece drawn mirrored, its foot and its seams switched, is the same shoe", "[seam_feet]") {
  test::holds_for_all(
      "mirrored = same faults",
      [] {
        StyleSpec style = random_shoe({*rc::gen::inRange(2, 7), 2}, {"left", "right", "both"});
        for (PieceSpec& piece : style.pieces) piece.per_pair = *rc::gen::element(2, 4);
        StyleSpec other = style;
        PieceSpec& turned = other.pieces[static_cast<std::size_t>(
            *rc::gen::inRange(0, static_cast<int>(other.pieces.size())))];
        if (turned.drawn_foot != "both") turned.drawn_foot = turned.drawn_foot == "left" ? "right" : "left";
        for (SeamSpec& seam : other.seams) {
          if ((seam.one.piece == turned.name) != (seam.other.piece == turned.name))
            seam.mirrored = !seam.mirrored;
        }
        RC_ASSERT(faulty_seams(other) == faulty_seams(style));
      },
      100);
}

TEST_CASE("a boot drawn on one forme: what is told until its feet are stated", "[seam_feet]") {
  StyleSpec style;
  style.name = "Boot";
  style.pieces = {hand_piece("outside", ""), hand_piece("inside", ""), hand_piece("counter", "", "uppers", 4),
                  hand_piece("facing", "", "linings", 4), hand_piece("lining", "", "linings", 4)};
  sew(style, "outside", "inside", true);
  sew(style, "counter", "outside");
  sew(style, "counter", "inside");
  sew(style, "facing", "outside");
  sew(style, "facing", "inside");
  sew(style, "lining", "facing");
  using Seams = std::set<std::size_t>;
  CHECK(faulty_seams(style).empty());  // no foot is stated: only what goes with what is
  const std::vector<std::string> handed = handed_pieces(style);
  CHECK(
      feet_note(style, handed) ==
      "Boot does not say which foot its drawings show (\"drawn_foot\": \"left\"), so its pieces are called "
      "as "
      "drawn and mirrored, not L and R; as drawn of outside goes with mirrored of inside in one shoe, by the "
      "mirrored seam s0; each shoe takes as many of counter, facing, lining as drawn as mirrored");
  style.drawn_foot = "left";
  CHECK(faulty_seams(style) == Seams{0});
  style.pieces[0].drawn_foot = "right";
  CHECK(faulty_seams(style) == Seams{1, 4});  // the counter's, and the facing's two do not go together
  style.pieces[2].drawn_foot = style.pieces[3].drawn_foot = "both";
  CHECK(faulty_seams(style) == Seams{5});  // as many linings as facings
  style.pieces[4].drawn_foot = "both";
  CHECK(faulty_seams(style).empty());
  CHECK(feet_note(style, handed) ==
        "Boot: the left foot is drawn of inside: as drawn is L, mirrored R; the right foot is drawn of "
        "outside: as "
        "drawn is R, mirrored L; each shoe takes as many of counter, facing, lining as drawn as mirrored, so "
        "they "
        "are called that, not L and R");
  CHECK(common_foot(style, handed) == kByPiece);
  CHECK(common_foot(style, {"inside"}) == "left");
  // What is not cut left and right says nothing.
  style.pieces[0].drawn_foot = "left";
  CHECK(seam_feet_faults(style, {false, true, true, true, true}).empty());
  style.pieces[0].fold = "e";
  CHECK(faulty_seams(style).empty());
}

TEST_CASE("what a seam that contradicts the feet asks for is named", "[seam_feet]") {
  const auto told = [](const StyleSpec& style) {
    std::vector<StyleFinding> findings;
    add_seam_feet(style, {}, findings);
    return findings;
  };
  StyleSpec style;
  style.drawn_foot = "left";
  style.pieces = {hand_piece("outside", ""), hand_piece("inside", "")};
  sew(style, "outside", "inside", true);
  REQUIRE(told(style).size() == 1);
  CHECK_FALSE(told(style)[0].passed);
  CHECK(told(style)[0].subject == "s0");
  CHECK(
      told(style)[0].note ==
      "outside is drawn for the left foot, as the style says of all, inside is drawn for the left foot, as "
      "the "
      "style says of all, and the seam is mirrored: the two that are marked L do not go into one shoe; state "
      "\"drawn_foot\": \"right\" in outside or \"drawn_foot\": \"right\" in inside; or leave \"mirrored\" "
      "out of the "
      "seam, if neither is cut as its mirror image to be sewn here");
  style.pieces[0].drawn_foot = "right";
  CHECK(told(style).empty());
  style.pieces.push_back(hand_piece("heel piece", ""));  // round three pieces one seam is mirrored
  sew(style, "outside", "heel piece");
  sew(style, "heel piece", "inside");
  REQUIRE(told(style).size() == 2);
  CHECK(told(style)[0].subject == "s1");
  CHECK(told(style)[1].note.starts_with("no feet of its pieces go with it"));
  // "both" is for numbers that each shoe can share so, and no foot is for what serves either.
  style.pieces.back().drawn_foot = "both";
  REQUIRE(told(style).size() == 1);
  CHECK(told(style)[0].note.find("a pair takes 2") != std::string::npos);
  style.pieces.back().per_pair = 4;
  CHECK(told(style).empty());
  style.pieces.back().hand = Hand::kReversible;
  REQUIRE(told(style).size() == 1);
  CHECK((told(style)[0].doubtful && told(style)[0].passed));
  // A piece sewn to its own mirror image is in one shoe with it.
  StyleSpec alone;
  alone.pieces = {hand_piece("collar", "")};
  sew(alone, "collar", "collar");
  CHECK(told(alone).empty());
  alone.seams[0].mirrored = true;
  CHECK(told(alone).size() == 1);
  // A lining whose good side may lie to the foot.
  StyleSpec lined;
  lined.drawn_foot = "left";
  lined.pieces = {hand_piece("inside", ""), hand_piece("lining", "", "linings")};
  sew(lined, "lining", "inside");
  REQUIRE(told(lined).size() == 1);
  CHECK((told(lined)[0].doubtful && told(lined)[0].passed));
  for (const char* foot : {"left", "right"}) {
    lined.pieces[1].drawn_foot = foot;
    CHECK(told(lined).empty());
  }
}
