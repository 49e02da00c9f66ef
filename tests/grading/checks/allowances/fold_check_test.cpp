// What an edge that crosses a fold turns by, unfolded.
#include "grading/checks/allowances/fold_check.hpp"

#include <catch2/catch.hpp>
#include <numbers>

#include "grading/checks/style_checks.hpp"
#include "tests/support/blob.hpp"

using namespace lastwright;

namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

// One piece, folded on its first edge, in two sizes and
// the base; the angles inside it at the ends of the fold.
struct Folded {
  StyleGrade grade;
  StyleLooks looks;

  explicit Folded(const std::vector<FoldAngles>& angles) {
    PreparedPiece piece;
    piece.bound.spec.name = "tongue";
    piece.bound.spec.fold = "centre";
    BoundEdge fold;
    fold.spec.name = "centre";
    fold.spec.from = "top";
    fold.spec.to = "toe";
    piece.bound.edges.push_back(fold);
    grade.pieces.push_back(std::move(piece));
    grade.cells.resize(angles.size());
    looks.emplace_back(angles.size());
    for (std::size_t k = 0; k < angles.size(); ++k) looks[0][k].fold = angles[k];
  }
};

FoldAngles degrees(double first, double last) {
  return {Radians(first * kDegree), Radians(last * kDegree)};
}

}  // namespace

TEST_CASE("an edge that crosses a fold turns by twice what it is off square", "[checks][fold]") {
  // Half a degree off square at the top in one size; 0.4 at the toe in the base already, 0.7 in the other.
  const Folded piece({degrees(90.5, 90.4), degrees(90.0, 89.3), degrees(90.0, 90.4)});
  const std::vector<StyleFinding> found = check_folds(piece.grade, piece.looks, {});
  REQUIRE(found.size() == 2);
  CHECK(found[0].subject == "tongue: top");
  CHECK(found[0].worst == Approx(1.0));
  CHECK(found[1].subject == "tongue: toe");
  CHECK(found[1].worst == Approx(0.6));
}

TEST_CASE("one degree more than in the base size is where a point shows at the fold", "[checks][fold]") {
  const auto passes = [](double angle) {
    const Folded piece({degrees(angle, 90.0), degrees(90.0, 90.0)});
    return check_folds(piece.grade, piece.looks, {}).at(0).passed;
  };
  CHECK(passes(90.49));
  CHECK(passes(89.51));
  CHECK_FALSE(passes(90.51));
  CHECK_FALSE(passes(89.49));
}

TEST_CASE("a point that is drawn at the fold is meant", "[checks][fold]") {
  const Folded piece({degrees(80.0, 90.0), degrees(84.0, 90.0)});
  const std::vector<StyleFinding> found = check_folds(piece.grade, piece.looks, {});
  REQUIRE(found.size() == 1);
  CHECK(found[0].subject == "tongue: toe");
}

TEST_CASE("the angles at a fold are those inside the piece", "[checks][fold]") {
  EdgedOutline net;
  net.path.vertices = {{{0, 0}, 0}, {{60, 0}, 0}, {{70, 40}, 0}, {{-40, 40}, 0}};
  net.edge = {3, 1, 2, 0};
  const std::optional<FoldAngles> found = fold_angles(net, 3);
  REQUIRE(found.has_value());
  CHECK(found->first.value() == Approx(135.0 * kDegree));
  CHECK(found->last.value() == Approx(std::numbers::pi - std::atan2(40.0, 10.0)));
}
