// A hold that no local field can keep falls back to the wide one, and is told.
#include "grading/checks/rule_reach.hpp"

#include <catch2/catch.hpp>

#include "tests/support/shell_forme.hpp"

using namespace lastwright;
using namespace lastwright::support;

namespace {

Measure measure(const char* name, Fraction value, Fraction per_size) {
  Measure one;
  one.name = name;
  one.base = millimetres(value);
  one.per_size = millimetres(per_size);
  one.per_width = millimetres(0);
  return one;
}

// What is said of the hold p ... r, on a quarter, with these rules besides.
StyleFinding said_of_hold(const std::vector<Rule>& besides, std::optional<Millimetres> limit) {
  FormeSpec forme = shell_forme();
  forme.points.insert(forme.points.end(), {{"p", {100, 45}},
                                           {"q", {112, 47}},
                                           {"r", {106, 50}},
                                           {"p top", {100, 100}},
                                           {"q top", {112, 104}},
                                           {"r top", {106, 96}}});
  forme.rules.insert(forme.rules.end(), besides.begin(), besides.end());
  forme.rules.push_back(Hold{{"p", "q", "r"}});
  SizeRun run;
  for (int s = 3; s <= 9; ++s) run.sizes.push_back({Fraction(s), std::to_string(s)});
  run.widths = {{Fraction(0), "F"}};
  run.base = {run.sizes[3], run.widths[0]};
  BoundPiece piece = quarter_piece();
  for (const BoundEdge& edge : piece.edges) piece.spec.edges.push_back(edge.spec);
  StyleSpec style;
  style.formes = {forme};
  style.pieces = {piece.spec};
  style.rule_away_limit = limit;
  const MeasureTable table = *MeasureTable::build(
      {measure("stick length", 280, Fraction(254, 30)), measure("ball girth", 230, Fraction(254, 40)),
       measure("tread", 80, Fraction(254, 120))},
      {run.base, Fraction(250), Fraction(254, 30)});
  const Result<StyleGrade> grade = grade_style(style, table, run, {piece}, {}, 1);
  REQUIRE(grade.ok());
  return rule_reaches(style, *grade, table, false).back();
}

}  // namespace

TEST_CASE("a hold whose points other rules tie is told, with the piece, the place and the size", "[reach]") {
  const StyleFinding free = said_of_hold({}, {});
  CHECK(free.subject == "shell: hold p ... r");
  CHECK(free.worst < 0.001);
  CHECK((free.passed && !free.doubtful));

  const std::vector<Rule> ties = {MeasureLine{"p line", "p", "p top", {{"ball girth", Fraction(1, 4)}}},
                                  MeasureLine{"q line", "q", "q top", {{"tread", Fraction(1, 8)}}},
                                  MeasureLine{"r line", "r", "r top", {{"ball girth", Fraction(1, 5)}}}};
  const StyleFinding tied = said_of_hold(ties, {});
  CHECK(tied.worst > 0.5);
  CHECK((tied.passed && tied.doubtful));
  CHECK_THAT(to_text(tied.where), Catch::Contains("size ") && Catch::Contains("of quarter, at ("));
  const StyleFinding judged = said_of_hold(ties, Millimetres(0.5));
  CHECK(judged.limit == 0.5);
  CHECK(!judged.passed);
  CHECK(said_of_hold(ties, Millimetres(1000.0)).passed);
}
