// Pieces that are drawn for both hands, or whole as their own mirror image.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "grading/draft/draft_counts.hpp"
#include "grading/style/forme_lookup.hpp"
#include "tests/support/drafted.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("a piece drawn for both feet is one piece, an inside and an outside are two", "[draft]") {
  const auto sheet = [](const char* one, const char* other) {
    DrawnPiece left = court_bottom().front();
    DrawnPiece right = left;
    left.name = one;
    right.name = other;
    SheetPlace beside;
    beside.over = true;
    beside.degrees = 30.0;
    beside.shift = {500, 100};
    return section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
           section("BLOCKS", block_of(left, {}) + block_of(right, beside)) +
           section("ENTITIES", tags(std::string("0 INSERT|8 0|2 ") + one + "|10 0|20 0|0 INSERT|8 0|2 " +
                                    other + "|10 0|20 0")) +
           "0\nEOF\n";
  };
  const Draft hands = draft_of(sheet("INSOLE_LEFT", "INSOLE_RIGHT"));
  CHECK(hands.style.pieces.size() == 1);
  CHECK(proposes(hands, "insole right is the mirror image of insole left"));
  const Draft sides = draft_of(sheet("INSIDE_SOLE", "OUTSIDE_SOLE"));
  CHECK(sides.style.pieces.size() == 2);
  CHECK_FALSE(proposes(sides, "mirror image"));
}

TEST_CASE("the other hand of a piece is left out with all that is in it, or stays where that is not the same",
          "[draft][random]") {
  struct Mark {
    Vec2 at;
    double size = 2.0;
  };
  // A hole, a cut-out or a stitch line, on the layers of the published numbers.
  const auto drawn = [](int kind, const Mark& mark, const SheetPlace& lies) {
    const auto corner = [&](double x, double y) { return lies.of(mark.at + mark.size * Vec2{x, y}); };
    const Vec2 at = lies.of(mark.at);
    if (kind == 0) return tags(fmt::format("0 CIRCLE|8 13|10 {}|20 {}|40 {}", at.x, at.y, mark.size));
    const Vec2 a = corner(-1, -1);
    const Vec2 b = corner(2, -1);
    const Vec2 c = corner(0, 2);
    if (kind == 1) return tags(fmt::format("0 LINE|8 14|10 {}|20 {}|11 {}|21 {}", a.x, a.y, b.x, b.y));
    return tags(fmt::format("0 LWPOLYLINE|8 11|90 3|70 1|10 {}|20 {}|10 {}|20 {}|10 {}|20 {}", a.x, a.y, b.x,
                            b.y, c.x, c.y));
  };
  std::size_t alike = 0;
  std::size_t odd = 0;
  test::holds_for_all(
      "marks of two hands",
      [&] {
        const DrawnPiece left = {"SOLE_LEFT", {0, 0}, court_bottom().front().strokes, {60, 4}};
        DrawnPiece right = left;
        right.name = "SOLE_RIGHT";
        const SheetPlace beside{*rc::gen::inRange(0, 360) * 1.0, true, {500, 100}, false};
        const int kind = *rc::gen::inRange(0, 3);
        std::vector<Mark> marks;
        for (int i = 0; i < 3; ++i) marks.push_back({{70.0 + 30.0 * i, *rc::gen::inRange(-80, 80) / 10.0}});
        std::vector<Mark> there = marks;
        const int change = *rc::gen::inRange(0, 5);
        const double by = *rc::gen::inRange(4, 30) / 10.0;
        if (change == 1) there[1].at += Vec2{by, 0};
        if (change == 2) there[1].size += by;
        if (change == 3) there.pop_back();
        if (change == 4) marks.pop_back();
        const auto block = [&](const DrawnPiece& piece, const SheetPlace& lies, const std::vector<Mark>& in) {
          std::string text = block_of(piece, lies);
          std::string more;
          for (const Mark& mark : in) more += drawn(kind, mark, lies);
          return text.insert(text.rfind("0\nENDBLK"), more);
        };
        const Draft draft =
            draft_of(section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
                     section("BLOCKS", block(left, {}, marks) + block(right, beside, there)) +
                     section("ENTITIES",
                             tags("0 INSERT|8 0|2 SOLE_LEFT|10 0|20 0|0 INSERT|8 0|2 SOLE_RIGHT|10 0|20 0")) +
                     "0\nEOF\n");
        RC_ASSERT(proposes(draft, "sole right is the mirror image of sole left"));
        RC_ASSERT(draft.accounts.size() == 1 && draft.accounts.front().adds_up());
        RC_ASSERT(draft.style.pieces.size() == (change == 0 ? 1U : 2U));
        RC_ASSERT(proposes(draft, "is in one of them only: both stay") == (change != 0));
        (change == 0 ? alike : odd) += 1;
        // What goes with the copy is named.
        std::size_t told = 0;
        for (const std::string& warning : draft.warnings)
          told += warning.find("left out: ") != std::string::npos ? 1 : 0;
        RC_ASSERT((told >= 2) == (change == 0));
      },
      14);
  INFO(alike << " alike, " << odd << " odd");
  CHECK(alike > 0);
  CHECK(odd > 4);
}

namespace {

// Both halves of a vamp in one outline.
DrawnPiece whole_vamp(const std::string& name) {
  return {name,
          {0, 40},
          {curve_to({60, 45}, {90, 30}, {100, 0}), curve_to({90, -30}, {60, -45}, {0, -40}),
           curve_to({20, -10}, {20, 10}, {0, 40})},
          {20, 0}};
}

}  // namespace

TEST_CASE("a vamp drawn whole is told as one, and stands on its axis", "[draft]") {
  const DrawnPiece whole = whole_vamp("VAMP");
  const Draft draft = draft_of(blocks_of({{whole, {25.0, false, {100, 50}}}}));
  REQUIRE(draft.warnings.size() == 1);
  CHECK(draft.warnings.front().find("vamp is drawn whole, as its own mirror image") != std::string::npos);
  CHECK(draft.style.pieces.front().hand == Hand::kSymmetric);
  const FormeSpec& forme = draft.style.formes.front();
  const Vec2 axis = unit(drawn_place(forme, "end") - drawn_place(forme, "start"));
  CHECK(std::abs(cross(axis, turned({1, 0}, 25.0 * 3.14159265358979 / 180.0))) < 1e-3);
}

TEST_CASE("what is its own mirror image is one shape for both feet, whatever its name", "[draft]") {
  const DrawnPiece whole = whole_vamp("VMP-01");
  const Draft draft = draft_of(blocks_of({{whole, {25.0, false, {100, 50}}}}));
  REQUIRE(draft.warnings.size() == 1);
  CHECK(draft.warnings.front().find("vmp-01 is drawn whole, as its own mirror image") == 0);
  CHECK(draft.style.pieces.front().hand == Hand::kSymmetric);
  DrawnPiece bent = whole;
  bent.strokes[0] = curve_to({60, 47}, {90, 30}, {100, 0});
  CHECK(draft_of(blocks_of({{bent, {}}})).style.pieces.front().hand == Hand::kHanded);
}

namespace {

// Pieces known by their seams alone: no two of them are drawn alike.
struct CountedShoe {
  std::vector<DraftPiece> pieces;
  std::vector<DraftForme> formes{1};
  std::vector<DraftSeam> seams;

  std::size_t add(const std::string& name, const std::string& layer, bool fold = false) {
    DraftPiece piece;
    piece.name = name;
    piece.words.layer = layer;
    for (std::size_t e = 0; e < 5; ++e) {
      const Vec2 from{1000.0 * static_cast<double>(pieces.size()), 100.0 * static_cast<double>(e)};
      DraftEdge edge;
      edge.curves.emplace_back(Line{from, from + Vec2{50, 0}});
      for (std::size_t s = 0; s <= kDraftSamples; ++s)
        edge.samples.push_back(from + Vec2{50.0 * static_cast<double>(s) / kDraftSamples, 0});
      edge.drawn = edge.samples;
      edge.length = 50.0;
      edge.name = std::to_string(e);
      piece.edges.push_back(std::move(edge));
    }
    if (fold) piece.fold = 4;
    pieces.push_back(std::move(piece));
    formes[0].kind = DraftKind::kUpper;
    formes[0].pieces.push_back(pieces.size() - 1);
    return pieces.size() - 1;
  }
  void sew(std::size_t one, std::size_t edge, std::size_t other, std::size_t there) {
    DraftSeam seam;
    seam.one = one;
    seam.one_edge = edge;
    seam.other = other;
    seam.other_edge = there;
    seams.push_back(seam);
  }
};

}  // namespace

TEST_CASE("a piece is doubled by a chain of guesses only where no other piece says otherwise", "[draft]") {
  for (const bool outside_drawn : {true, false}) {
    INFO(outside_drawn);
    CountedShoe shoe;
    const std::size_t vamp = shoe.add("vamp", "uppers", true);
    const std::size_t front = shoe.add("inside front", "uppers");
    const std::size_t back = shoe.add("inside back", "uppers");
    const std::size_t vamp_lining = shoe.add("vamp lining", "linings", true);
    const std::size_t lining = shoe.add("quarter lining", "linings");
    shoe.sew(vamp, 0, front, 0);
    shoe.sew(front, 1, back, 1);
    shoe.sew(vamp_lining, 0, lining, 0);
    shoe.sew(lining, 2, front, 2);
    shoe.sew(lining, 3, back, 3);
    const std::size_t outside = shoe.add("outside", "uppers");
    if (outside_drawn) shoe.sew(vamp, 0, outside, 0);
    const std::vector<DraftCount> counts = draft_counts(shoe.pieces, shoe.formes, shoe.seams);
    CHECK(counts[vamp].per_pair == 2);
    CHECK(counts[outside].per_pair == 2);
    CHECK(counts[outside].asked.empty());
    CHECK(counts[lining].per_pair == 4);  // alone on an edge of what is cut double, and nothing against it
    for (const std::size_t inside : {front, back}) {
      CHECK(counts[inside].per_pair == (outside_drawn ? 2 : 4));
      CHECK(counts[inside].asked.empty() != outside_drawn);
    }
    if (!outside_drawn) continue;
    CHECK(counts[front].asked ==
          "two for a pair, or four? Two, as outside is sewn to the edge \"0\" of vamp too, which a pair has "
          "four times; four, as nothing else is sewn to the edge \"2\" of quarter lining, which a pair has "
          "four times");
    CHECK(counts[back].asked.starts_with(
        "two for a pair, or four? Two, as it is sewn to inside front, of which "
        "there are two; four, as nothing else is sewn to the edge \"3\""));
  }
}
