#include "grading/jobs/style_part.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/grade/grade.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

double farthest(const ClosedArcPath& path, const ClosedArcPath& from) {
  double worst = 0.0;
  for (const ArcVertex& vertex : path.vertices) worst = std::max(worst, distance_to(from, vertex.at));
  return worst;
}

std::vector<std::string> some_of(const std::vector<std::string>& all) {
  const auto wanted = *rc::gen::container<std::vector<bool>>(all.size(), rc::gen::arbitrary<bool>());
  std::vector<std::string> some;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (wanted[i]) some.push_back(all[i]);
  }
  if (some.empty()) some.push_back(*rc::gen::elementOf(all));
  return some;
}

StyleGrade grade_of_part(const LoadedStyle& style) {
  Result<StyleGrade> grade = grade_style(style.spec, style.measures, style.run, style.pieces);
  REQUIRE(grade);
  return *std::move(grade);
}

}  // namespace

TEST_CASE("a size and width is cut the same whatever other sizes and widths are asked for", "[style_part]") {
  Checked<LoadedStyle> load = load_style(test::demo_style());
  REQUIRE(load.ok());
  LoadedStyle style = *std::move(load);
  const std::vector<std::string> kept{"stiffener", "toe puff", "shank", "toe cap"};
  std::erase_if(style.pieces, [&](const BoundPiece& piece) {
    return std::find(kept.begin(), kept.end(), piece.spec.name) == kept.end();
  });
  REQUIRE(style.pieces.size() == kept.size());
  const std::vector<SizeTie> held{{"6", "9", "7.5"}, {"9.5", "12", "11"}};
  for (BoundPiece& piece : style.pieces) {
    if (piece.spec.name == "toe cap") piece.spec.cut_outs_held = held;
  }
  std::erase_if(style.spec.seams, [](const SeamSpec&) { return true; });
  style.spec.pieces.clear();
  for (const BoundPiece& piece : style.pieces) style.spec.pieces.push_back(piece.spec);
  for (const SizeTie& tie : held) {
    for (const std::string& size : {tie.from, tie.to, tie.as}) {
      const auto at = std::find_if(style.run.sizes.begin(), style.run.sizes.end(),
                                   [&](const Size& one) { return one.label == size; });
      REQUIRE(at != style.run.sizes.end());
      style.run.named[size] = at->position;
    }
  }
  const StyleGrade whole = grade_of_part(style);
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  for (const Size& size : style.run.sizes) sizes.push_back(size.label);
  for (const Width& width : style.run.widths) widths.push_back(width.label);
  std::size_t elsewhere = 0;
  test::holds_for_all(
      "part(cell) = whole(cell)",
      [&] {
        LoadedStyle part = style;
        RC_ASSERT(keep_part(part, {some_of(sizes), some_of(widths)}).ok());
        elsewhere += part.run.also.size();
        const StyleGrade some = grade_of_part(part);
        RC_ASSERT(some.run_cells() == part.run.count());
        for (std::size_t k = 0; k < some.run_cells(); ++k) {
          std::size_t there = 0;
          while (!same_cell(whole.cells[there], some.cells[k])) ++there;
          for (std::size_t p = 0; p < some.pieces.size(); ++p) {
            const GradedPiece one = some.drawn_piece(p, k);
            const GradedPiece other = whole.drawn_piece(p, there);
            // Each follows the grade within the fit of a curve, on vertices of its own.
            RC_ASSERT(farthest(one.net.path, other.net.path) < 0.012);
            RC_ASSERT(one.cut_outs.size() == other.cut_outs.size());
            for (std::size_t c = 0; c < one.cut_outs.size(); ++c)
              RC_ASSERT(farthest(one.cut_outs[c], other.cut_outs[c]) < 0.012);
          }
        }
      },
      12);
  CHECK(elsewhere > 0);
}
