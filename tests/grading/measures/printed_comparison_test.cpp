#include "grading/measures/printed_comparison.hpp"

#include <catch2/catch.hpp>

#include "grading/measures/reference_tables.hpp"

using namespace lastwright;

namespace {

struct Works {
  ReferenceTables tables;
  Scale scale = *tables.find_scale("english");
  Ladder ladder = *tables.find_ladder("english-letters");
  SizeRun run;
  MeasureTable table;

  explicit Works(const char* per_size) {
    run.base = {*scale.size("4"), *ladder.width("F")};
    run.sizes = *scale.run("child 10", "6", 1);
    run.widths = {run.base.width};
    Measure girth;
    girth.name = "ball girth";
    girth.base = *parse_quantity("8 in");
    girth.per_size = *parse_quantity(per_size);
    girth.per_width = *parse_quantity("1/4 in");
    table = *MeasureTable::build({girth}, {run.base, scale.length(run.base.size), scale.step});
  }
  [[nodiscard]] ComparedStyle compared() const { return {table, run, scale, "english-letters"}; }
};

}  // namespace

// Source: F. Y. Golding, The Manufacture of Boots and Shoes, London 1902, male scale, 3 fitting.
TEST_CASE("a style graded by the handbook meets its printed cells, another does not", "[comparison]") {
  const Works same("1/4 in");
  const auto printed = same.tables.find_printed("golding-male-3");
  const auto met = compare(same.compared(), *printed, same.scale);
  REQUIRE(met);
  CHECK(met->cells.size() == 10);  // child 10 to adult 6
  for (const CellDifference& cell : met->cells) CHECK(std::abs(cell.difference) < 1e-9);
  CHECK(met->notes.size() == 4);  // three measures the style lacks, and the width it was compared with

  const Works other("3/16 in");
  const auto missed = compare(other.compared(), *printed, other.scale);
  REQUIRE(missed);
  CHECK(missed->cells.front().difference == Approx(7 * 25.4 / 16));
  CHECK(missed->cells.back().difference == Approx(-2 * 25.4 / 16));
  CHECK(missed->cells.back().half_digit == Approx(25.4 / 32));  // "8 1/2" in a column of sixteenths

  const auto ruled = same.tables.find_ruled("golding-male-3");
  const auto by_rule = compare(same.compared(), *ruled, same.scale);
  REQUIRE(by_rule);
  CHECK(by_rule->cells.size() == 10);
  for (const CellDifference& cell : by_rule->cells) CHECK(std::abs(cell.difference) < 1e-9);
}

TEST_CASE("a last is not compared with tables of another scale, nor of the foot without allowances",
          "[comparison]") {
  const Works works("1/4 in");
  const Scale foot = *works.tables.find_scale("jis-men");
  const auto says = [](const Result<TableComparison>& refused, const char* text) {
    return !refused && refused.problem().message.find(text) != std::string::npos;
  };
  CHECK(says(compare(works.compared(), *works.tables.find_printed("jis-men"), foot), "table of the foot"));
  const Scale russian = *works.tables.find_scale("russian");
  CHECK_FALSE(compare(works.compared(), *works.tables.find_ruled("russian-men"), russian));
  const Scale american_scale = *works.tables.find_scale("american-men");
  const ComparedStyle american{works.table, works.run, american_scale, "english-letters"};
  CHECK(says(compare(american, *works.tables.find_printed("golding-male-3"), works.scale), "american-men"));
  ComparisonOptions named;
  named.allowances = {*parse_allowance("toe 20 mm")};
  CHECK(says(compare(works.compared(), *works.tables.find_printed("golding-male-3"), works.scale, named),
             "table of lasts"));
  CHECK(says(compare(works.compared(), *works.tables.find_ruled("jis-men"), foot, named), "--their-width"));
  named.there = *works.tables.find_ladder("jis-letters")->width("EE");
  CHECK(says(compare(works.compared(), *works.tables.find_ruled("jis-men"), foot, named),
             "no allowance is named for the ball girth"));
  named.allowances.push_back(*parse_allowance("toe 5 mm"));
  CHECK(says(compare(works.compared(), *works.tables.find_ruled("jis-men"), foot, named), "two allowances"));
}

// JIS S 5037 as public pages quote it: 3 mm of girth for 5 mm of foot, 25 EE 249 mm, 23.5 EE 240 mm. A last
// 20 mm longer and 5 mm less around than its foot therefore grows by 1/5 in for each English 1/3 in.
TEST_CASE("a last that adds what is named to the foot meets a table of the foot in every size",
          "[comparison]") {
  Works works("1/5 in");
  works.run.base = {*works.scale.size("8"), *works.ladder.width("F")};
  works.run.sizes = *works.scale.run("4", "11", Fraction(1, 2));
  Measure girth = works.table.measures().front();
  // 8 is 279.4 mm, its foot 259.4 mm: 249 + 9.4 x 3 / 5 - 5.
  girth.base = *parse_quantity("249.64 mm");
  works.table = *MeasureTable::build(
      {girth}, {works.run.base, works.scale.length(works.run.base.size), works.scale.step});
  const Scale foot = *works.tables.find_scale("jis-men");
  ComparisonOptions options;
  options.there = *works.tables.find_ladder("jis-letters")->width("EE");
  options.allowances = {*parse_allowance("toe 25 mm; works practice"), *parse_allowance("back -5 mm"),
                        *parse_allowance("ball girth -5 mm")};
  const auto ruled = compare(works.compared(), *works.tables.find_ruled("jis-men"), foot, options);
  REQUIRE(ruled);
  CHECK(ruled->cells.size() == 15);
  for (const CellDifference& cell : ruled->cells) CHECK(std::abs(cell.difference) < 1e-9);
  CHECK(ruled->cells.front().there == "foot 225.5 mm EE");  // 4 is 245.53 mm
  const auto printed = compare(works.compared(), *works.tables.find_printed("jis-men"), foot, options);
  REQUIRE(printed);
  CHECK(printed->cells.size() == 2);  // 23.5 and 25 in EE
  for (const CellDifference& cell : printed->cells) CHECK(std::abs(cell.difference) < 1e-9);
  CHECK(printed->cells.back().there == "foot 25 EE");
  CHECK(printed->cells.back().at.size.label == "~7");  // 270 mm; 7 is 270.93 mm
  CHECK(printed->notes.size() == 4);                   // three allowances, and the width

  options.allowances.back() = *parse_allowance("ball girth -6 mm");
  const auto fuller = compare(works.compared(), *works.tables.find_ruled("jis-men"), foot, options);
  REQUIRE(fuller);
  for (const CellDifference& cell : fuller->cells) CHECK(cell.difference == Approx(1.0));
}
