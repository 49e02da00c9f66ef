// What is drawn in pieces, counted again: every change of a number that is stated fails, and what nobody
// counted is told.
#include <array>
#include <catch2/catch.hpp>
#include <optional>

#include "grading/checks/kept_check.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

using Counts = std::array<int, 4>;  // holes, cut-outs, nicks, lines

BoundPiece piece_drawn_with(const Counts& drawn, const std::optional<DrawnMarks>& stated) {
  RawOutline round;
  const std::array<Vec2, 4> at{{{0, 0}, {9, 0}, {9, 9}, {0, 9}}};
  for (std::size_t i = 0; i < 4; ++i) round.curves.emplace_back(Line{at[i], at[(i + 1) % 4]});
  const ClosedOutline square = *make_closed_outline(round, Millimetres(0.01));
  RawOutline slant;
  slant.curves.emplace_back(Line{{1, 1}, {8, 8}});
  const OpenChain line = *make_open_chain(slant, Millimetres(0.01));
  BoundPiece piece;
  piece.spec.name = "vamp";
  piece.spec.drawn_marks = stated;
  for (int i = 0; i < drawn[0]; ++i) piece.holes.push_back({{1.0 * i, 2.0}, 1.0, Operation::kHole, {}});
  for (int i = 0; i < drawn[1]; ++i) piece.cut_outs.push_back({square, {}});
  for (int i = 0; i < drawn[2]; ++i) piece.nicks.push_back({{1.0 * i, 0.0}, 0, 0, 0.0, {}});
  for (int i = 0; i < drawn[3]; ++i) {
    if (i % 2 == 0) {
      piece.lines.push_back({line, Operation::kStitch, {}});
    } else {
      piece.loops.push_back({square, Operation::kGuide, {}});
    }
  }
  return piece;
}

std::vector<StyleFinding> found_in(const std::vector<BoundPiece>& pieces) {
  StyleGrade grade;
  for (const BoundPiece& piece : pieces) {
    grade.pieces.emplace_back();
    grade.pieces.back().bound = piece;
  }
  return marks_kept(grade);
}

}  // namespace

TEST_CASE("every number that a style states is asked of the drawing, and what is not stated is told",
          "[kept][law]") {
  int failed = 0;
  int told = 0;
  test::holds_for_all("marks are counted", [&] {
    Counts drawn{};
    std::array<std::optional<int>, 4> stated;
    std::size_t wrong = 0;
    std::size_t unknown = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      drawn[k] = *rc::gen::inRange(0, 3);
      const int how = *rc::gen::inRange(0, 4);
      if (how > 0) stated[k] = how == 1 ? *rc::gen::inRange(0, 3) : drawn[k];
      if (stated[k] && *stated[k] != drawn[k]) ++wrong;
      if (!stated[k] && drawn[k] > 0) ++unknown;
    }
    const std::vector<StyleFinding> all =
        found_in({piece_drawn_with(drawn, DrawnMarks{stated[0], stated[1], stated[2], stated[3]})});
    RC_ASSERT(all.size() == (unknown > 0 ? 2U : 1U));
    RC_ASSERT(all[0].check == "marks kept");
    RC_ASSERT(all[0].passed == (wrong == 0));
    RC_ASSERT(all[0].worst == static_cast<double>(wrong));
    if (unknown > 0)
      RC_ASSERT((all[1].doubtful && all[1].passed && all[1].worst == static_cast<double>(unknown)));
    failed += wrong > 0;
    told += unknown > 0;
  });
  CHECK(failed > 10);
  CHECK(told > 10);
}

TEST_CASE("a piece without any number is told where another of its style states one", "[kept]") {
  const BoundPiece bare = piece_drawn_with({0, 1, 0, 0}, std::nullopt);
  CHECK(found_in({bare}).empty());
  const std::vector<StyleFinding> all =
      found_in({bare, piece_drawn_with({0, 0, 0, 0}, DrawnMarks{0, 0, 0, 0})});
  REQUIRE(all.size() == 2);
  CHECK(all[0].check == "marks not counted");
  CHECK(all[0].note.find("1 cut-out") != std::string::npos);
  CHECK(all[0].note.find("\"cut_outs\": 1") != std::string::npos);
  CHECK(all[1].passed);
  const std::vector<StyleFinding> added = found_in({piece_drawn_with({0, 1, 0, 0}, DrawnMarks{0, 0, 0, 0})});
  REQUIRE(added.size() == 1);
  CHECK(added[0].note.find("states 0 cut-outs, and the drawing shows 1: take out") != std::string::npos);
}

}  // namespace lastwright
