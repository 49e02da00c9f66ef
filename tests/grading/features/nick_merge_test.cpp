// Nicks merged into the cut line, wherever they stand on it.
#include "grading/features/nick_merge.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/check/simple.hpp"
#include "grading/features/nick_path.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;

namespace {

// A nick with its mouth of 2 mm about a place of the outline, 1.5 mm deep.
OpenArcPath nick(const ClosedArcPath& cut, std::size_t segment, double t, NickForm form) {
  const ArcSegment s = cut.segment(segment);
  return nick_path(cut, {s.point_at(t), segment, t}, -left_of(s.tangent_at(t)),
                   {form, Millimetres(1.5), Millimetres(2.0)});
}

GradedPiece piece_with(const ClosedArcPath& cut, std::vector<OpenArcPath> nicks) {
  GradedPiece piece;
  piece.cut.path = cut;
  for (OpenArcPath& path : nicks) piece.lines.push_back({std::move(path), Operation::kNick, false});
  return piece;
}

}  // namespace

TEST_CASE("merged nicks change the area of the outline by their own", "[nick]") {
  const ClosedArcPath cut = test::box_path(60.0, 40.0);
  const double half = 0.5 * 2.0 * 1.5;  // of a triangle
  const auto area = [&](std::size_t segment, double t, NickForm form) {
    const NickedOutline nicked = merge_nicks(piece_with(cut, {nick(cut, segment, t, form)}));
    REQUIRE(nicked.merged.size() == 1);
    REQUIRE(check_simple(nicked.path).ok());
    return signed_area(nicked.path);
  };
  for (std::size_t segment = 0; segment < 4; ++segment) {
    for (const double t : {0.1, 0.5, 0.9}) {
      CHECK(area(segment, t, NickForm::kVee) == Approx(2400.0 - half));
      CHECK(area(segment, t, NickForm::kOutward) == Approx(2400.0 + half));
      CHECK(area(segment, t, NickForm::kRound) == Approx(2400.0 - 2.0 * 0.5 - 0.5 * std::acos(-1.0)));
    }
  }
}

TEST_CASE("nicks may stand on the first vertex and side by side", "[nick]") {
  // A circle of four arcs; the first vertex is smooth.
  ClosedArcPath round;
  for (const Vec2 p : {Vec2{30, 0}, Vec2{0, 30}, Vec2{-30, 0}, Vec2{0, -30}})
    round.vertices.push_back({p, std::tan(std::acos(-1.0) / 8.0)});
  const double quarter = round.segment(0).length();
  for (const double off : {-1.0, -0.999, -0.3, 0.0, 0.3, 0.999, 1.0}) {
    CAPTURE(off);
    const std::size_t segment = off < 0.0 ? 3 : 0;
    const double t = (off < 0.0 ? quarter + off : off) / quarter;
    const double next = (off + 2.0) / quarter;  // mouth to mouth
    const GradedPiece piece =
        piece_with(round, {nick(round, segment, t, NickForm::kVee), nick(round, 0, next, NickForm::kVee)});
    const NickedOutline nicked = merge_nicks(piece);
    CHECK(nicked.merged.size() == 2);
    CHECK(check_simple(nicked.path, {Millimetres(1e-9), Millimetres(0.0), true}).ok());
    for (const GradedLine& line : piece.lines) {
      for (const ArcVertex& v : line.path.vertices) CHECK(distance_to(nicked.path, v.at) < 3e-6);
    }
  }
}

TEST_CASE("a nick that would make the outline cross itself stays apart", "[nick]") {
  // A tongue a millimetre wide with a nick across it, and one close to the corner at its foot.
  const ClosedArcPath cut{{{{0, 0}, 0},
                           {{60, 0}, 0},
                           {{60, 30}, 0},
                           {{31, 30}, 0},
                           {{31, 50}, 0},
                           {{30, 50}, 0},
                           {{30, 30}, 0},
                           {{0, 30}, 0}}};
  REQUIRE(check_simple(cut).ok());
  const GradedPiece piece = piece_with(
      cut, {nick(cut, 0, 0.5, NickForm::kVee), nick(cut, 3, 0.5, NickForm::kVee),
            nick(cut, 2, 1.0 - 0.5 / 29.0, NickForm::kOutward), nick(cut, 6, 0.5, NickForm::kVee)});
  const NickedOutline nicked = merge_nicks(piece);
  CHECK(nicked.merged == std::vector<std::size_t>{0, 2, 3});
  CHECK(check_simple(nicked.path).ok());
}

TEST_CASE("every nick is merged or said to stay apart, with the reason", "[nick]") {
  const ClosedArcPath cut = test::box_path(60.0, 40.0);
  GradedPiece piece =
      piece_with(cut, {nick(cut, 0, 0.5, NickForm::kVee), nick(cut, 1, 0.5, NickForm::kSlit),
                       nick(cut, 0, 0.52, NickForm::kVee), nick(cut, 2, 0.5, NickForm::kRound)});
  piece.lines.push_back(
      {OpenArcPath{{{{0, 0}, 0.0}, {{1, 1}, 0.0}, {{2, 0}, 0.0}}}, Operation::kNick, false});
  piece.lines.push_back({OpenArcPath{{{{0, 0}, 0.0}, {{9, 0}, 0.0}}}, Operation::kGuide, false});
  const NickedOutline nicked = merge_nicks(piece);
  CHECK(nicked.merged == std::vector<std::size_t>{0, 3});
  const std::vector<std::pair<std::size_t, NickApart>> apart{
      {1, NickApart::kSlit}, {4, NickApart::kOffCutLine}, {2, NickApart::kMeetsNick}};
  CHECK(nicked.apart == apart);
}
