// The demo's cut lines in every size and width, against the definition of an allowance.
#include <catch2/catch.hpp>

#include "geometry/check/simple.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/support/allowance_check.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

TEST_CASE("the demo is cut with all its allowances in every size and width", "[allowance][demo]") {
  const StyleLoad load = load_style(test::demo_style());
  REQUIRE(load.ok());
  const Result<StyleGrade> grade =
      grade_style(load.style->spec, load.style->measures, load.style->run, load.style->pieces);
  REQUIRE(grade.ok());
  std::size_t cut = 0;
  std::size_t grown = 0;
  std::size_t beside = 0;
  for (std::size_t p = 0; p < grade->pieces.size(); ++p) {
    double off = 0.0;
    double inside = 0.0;
    for (std::size_t k = 0; k < grade->run_cells(); ++k) {
      const Result<GradedPiece> piece = grade->cut_piece(p, k);
      INFO((piece ? std::string() : to_text(piece.problem())));
      REQUIRE(piece.ok());
      ++cut;
      grown += signed_area(piece->cut.path) > signed_area(piece->net.path) + 1.0;
      REQUIRE(check_simple(piece->cut.path).ok());
      if (k % 7 != 0) continue;  // every seventh by the definition: its samples are many
      const std::vector<Millimetres> allowances = grade->allowances(p, k);
      const test::AllowanceError error = test::allowance_error(piece->net, piece->cut, allowances);
      off = std::max(off, error.off);
      inside = std::max(inside, error.inside);
      beside += error.beside;
    }
    INFO(grade->pieces[p].bound.spec.name);
    CHECK(off < 0.01);
    CHECK(inside < 1e-6);
  }
  CHECK(cut == 1445);
  CHECK(grown >= 15 * 85);  // the insole and the shank are cut to their net lines
  CHECK(beside > 50000);
}
