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
  [[nodiscard]] ComparedStyle compared() const { return {table, run, "english", "english-letters"}; }
};

}  // namespace

// Source: F. Y. Golding, The Manufacture of Boots and Shoes, London 1902, male scale, 3 fitting.
TEST_CASE("a style graded by the handbook meets its printed cells, another does not", "[comparison]") {
  const Works same("1/4 in");
  const auto printed = same.tables.find_printed("golding-male-3");
  const auto met = compare(same.compared(), *printed);
  REQUIRE(met);
  CHECK(met->cells.size() == 10);  // child 10 to adult 6
  for (const CellDifference& cell : met->cells) CHECK(std::abs(cell.difference) < 1e-9);
  CHECK(met->notes.size() == 4);  // three measures the style lacks, and the width it was compared with

  const Works other("3/16 in");
  const auto missed = compare(other.compared(), *printed);
  REQUIRE(missed);
  CHECK(missed->cells.front().difference == Approx(7 * 25.4 / 16));
  CHECK(missed->cells.back().difference == Approx(-2 * 25.4 / 16));
  CHECK(missed->cells.back().half_digit == Approx(25.4 / 4));  // "8 1/2"

  const auto ruled = same.tables.find_ruled("golding-male-3");
  const auto by_rule = compare(same.compared(), *ruled);
  REQUIRE(by_rule);
  CHECK(by_rule->cells.size() == 10);
  for (const CellDifference& cell : by_rule->cells) CHECK(std::abs(cell.difference) < 1e-9);
}

TEST_CASE("a last is not compared with tables of the foot or of another scale", "[comparison]") {
  const Works works("1/4 in");
  CHECK(compare(works.compared(), *works.tables.find_printed("jis-men")).problem().message.find("foot") !=
        std::string::npos);
  CHECK_FALSE(compare(works.compared(), *works.tables.find_ruled("russian-men")));
  ComparedStyle american = works.compared();
  american.scale = "american-men";
  CHECK(compare(american, *works.tables.find_printed("golding-male-3"))
            .problem()
            .message.find("american-men") != std::string::npos);
}
