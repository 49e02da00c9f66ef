// The demo's cut lines in every size and width, against the definition of an allowance, and what is told of
// them.
#include <catch2/catch.hpp>

#include "geometry/check/simple.hpp"
#include "grading/checks/allowances/allowance_check.hpp"
#include "grading/checks/reach_check.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/cli/changed_demo.hpp"
#include "tests/support/allowance_check.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;
using Catch::Detail::Approx;
using lastwright::test::Demo;
using lastwright::test::demo;

TEST_CASE("the demo is cut with all its allowances in every size and width", "[allowance][demo]") {
  const Checked<LoadedStyle> load = load_style(test::demo_style());
  REQUIRE(load.ok());
  const Result<StyleGrade> grade = grade_style(load->spec, load->measures, load->run, load->pieces);
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

TEST_CASE("an allowance that is wider than the limit fails, in the size where it is", "[step][allowance]") {
  const Demo wide = demo(test::at_the_ends([](LoadedStyle& style) {
    for (PieceSpec& piece : style.spec.pieces) {
      for (EdgeSpec& edge : piece.edges) {
        if (piece.name == "outsole" && edge.name == "inside forepart") edge.allowance = Millimetres(203.0);
      }
    }
  }));
  for (const auto& [limit, fails] : {std::pair{60.0, true}, {202.9, true}, {203.0, false}}) {
    const auto told = odd_allowances(wide.grade, Millimetres(limit));
    REQUIRE(told.size() == 1);
    CHECK(told.front().passed == !fails);
    CHECK(told.front().doubtful == !fails);
    CHECK(told.front().worst == 203.0);
    if (fails) CHECK_THAT(told.front().note, Catch::Contains("\"widest_allowance\": 203"));
  }
}

TEST_CASE("cut lines that run far and spikes are judged by the limits, over all sizes", "[reach][limit]") {
  const Demo& d = test::demo();
  StyleLooks looks = StyleLooker(d.loaded.spec, d.grade).all(0);
  StyleSpec style = d.loaded.spec;
  CHECK(check_reach(style, d.grade, looks).empty());
  const PieceSpec& piece = d.grade.pieces[1].bound.spec;
  PieceLook& look = looks[1][3];
  const PieceLook was = look;
  look.reaches = {{0, 56.0, 18.0, {1.0, 2.0}}};
  look.spikes = {{1, 3.0, 20.0, 18.0, {5.0, 6.0}}, {1, 2.5, 20.0, 18.0, {90.0, 6.0}}};
  const auto judged = [&] { return check_reach(style, d.grade, looks); };
  const auto both = judged();
  style.reach_limits[piece.edges[0].treatment] = 3.5;
  style.spike_limit = Millimetres(2.8);
  const auto stated = judged();
  style.spike_limit = Millimetres(2.5);
  const auto loose = judged();
  look = was;
  REQUIRE(both.size() == 2);
  CHECK(both[0].check == "cut line reach");
  CHECK(both[0].subject == piece.name + ": " + piece.edges[0].name);
  CHECK(both[0].worst == Approx(56.0 / 18.0));
  CHECK(to_text(both[0].where) == where(d.grade.cells[3]));
  CHECK_FALSE(both[0].passed);
  CHECK(both[1].check == "spike");
  CHECK(both[1].worst == 2.5);
  CHECK_THAT(both[1].note, Catch::Contains("(90.0, 6.0)") && Catch::Contains("has 2 of them"));
  REQUIRE(stated.size() == 2);
  CHECK(stated[0].passed);  // by the stated limit alone
  CHECK_FALSE(stated[1].passed);
  CHECK(loose.size() == 1);
}
