#include "cli/report/die_tables.hpp"

#include <catch2/catch.hpp>

#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_order_page.hpp"
#include "cli/report/die_text.hpp"
#include "cli/report/html_table.hpp"
#include "cli/tables/csv.hpp"
#include "grading/dies/order/ordered_die.hpp"

using namespace lastwright;

TEST_CASE("a value is not rounded onto its limit, nor a bound above its price", "[die_tables]") {
  CHECK(below_limit(0.0985, 0.1) == "0.099");
  CHECK(below_limit(0.09996, 0.1) == "0.09996");
  CHECK(below_limit(0.10004, 0.1) == "0.100");  // at the limit or above: shown as such
  CHECK(below_limit(0.0, 0.1) == "0.000");
  CHECK(bound_below(78856.629) == 78856.62);
  CHECK(bound_below(78856.63) == 78856.63);
}

TEST_CASE("thousands are marked where people read, and rule is told in metres and feet", "[die_tables]") {
  Table table;
  table.columns = {{"die"}, {"punches"}, {"rule, mm", 10, 1}};
  table.rows.push_back({{"D1000"}, {std::int64_t{1234567}}, {12345.55}});
  const std::string marked = html_table(table, {.thousands = true});
  for (const char* const cell : {">D1000<", ">1,234,567<", ">12,345.5<"})
    CHECK(marked.find(cell) != std::string::npos);
  CHECK(html_table(table).find(">1234567<") != std::string::npos);

  DieOrder order;
  order.totals.rule_outer = 300'000.0;
  order.totals.rule_inner = 4'800.0;
  CHECK(die_order_text(order, {}).find("304.8 m (1,000.0 ft) of rule") != std::string::npos);
  CHECK(to_csv(die_totals_table(order, {})).find("the same in feet,1000.00,ft") != std::string::npos);

  // Each printed page may be carried away alone, and says that checks failed.
  const auto foot = [&] {
    const std::string page = die_order_page(order, {}, {});
    const std::size_t at = page.find("@bottom-left");
    return page.substr(at, page.find(';', at) - at);
  };
  CHECK(foot().find("CHECKS FAILED") == std::string::npos);
  order.failed.push_back({"seam", "a", 1.0, 0.1, "mm", {}, false, ""});
  CHECK(foot().find("CHECKS FAILED") != std::string::npos);
}

TEST_CASE("a bound says of what it is", "[die_tables]") {
  DieOrder order;
  order.currency = "EUR";
  DiePlan plan;
  plan.bound = 1234.568;
  CHECK(bound_text(order, plan) == "not proven least, 1235 at least");
  plan.minimised = Minimise::kCost;
  CHECK(bound_text(order, plan) == "price not proven least, 1234.56 EUR at least");
  plan.proven = true;
  CHECK(bound_text(order, plan) == "price proven least");
}

TEST_CASE("a curve says to what the tolerances of kinds are scaled", "[die_tables]") {
  DieRules rules;
  rules.tolerance = 0.5;
  CHECK(scaled_along(rules, 3.0).empty());
  rules.by_kind["lasting"] = 0.8;
  rules.pieces["vamp"].tolerance["top line"] = 0.1;
  CHECK(scaled_along(rules, 3.0) == "lasting 2.4; vamp, top line 0.3");
  DiePlan plan;
  plan.curve = {{0.5, 9, 9, true, ""}, {1.5, 4, 4, true, ""}};
  CHECK(die_curve_table(plan).columns.size() == 4);
  CHECK(curve_note(plan).empty());
  plan.curve[0].along = scaled_along(rules, 1.0);
  plan.curve[1].along = scaled_along(rules, 3.0);
  const std::string csv = to_csv(die_curve_table(plan));
  CHECK(csv.find("\"scaled along with it, mm\"") != std::string::npos);
  CHECK(csv.find("1.50,4,4,5,\"lasting 2.4; vamp, top line 0.3\"") != std::string::npos);
  DieOrder order;
  CHECK(die_order_text(order, plan).find("at 1.5 mm (lasting 2.4; vamp, top line 0.3): 4 dies") !=
        std::string::npos);
  const std::string page = die_order_page(order, plan, rules);
  CHECK(page.find(">lasting 2.4; vamp, top line 0.3<") != std::string::npos);
  CHECK(page.find(curve_note(plan)) != std::string::npos);
}

TEST_CASE("findings that repeat are one row with the worst and how many sizes", "[die_tables]") {
  DieOrder order;
  DiePlan plan;
  const auto add = [&](const char* piece, const char* check, double value, std::size_t sizes) {
    PlannedDie die;
    die.findings.push_back({check, value, DieLimit{2.4, Provenance::kPublished, ""}, "mm", {}});
    DieOrderLine line;
    line.die = plan.dies.size();
    line.number = "D" + std::to_string(line.die);
    line.piece = piece;
    line.sizes_widths.assign(sizes, {"8", "F"});
    line.to_make = 1;
    plan.dies.push_back(die);
    order.lines.push_back(line);
  };
  add("tongue", "neck or slot", 2.0, 1);
  add("tongue", "neck or slot", 1.5, 3);
  add("vamp", "neck or slot", 2.2, 1);
  const Table table = gathered_findings_table(order, plan);
  REQUIRE(table.rows.size() == 2);
  CHECK(std::get<double>(table.rows[0][2].value) == 1.5);
  CHECK(std::get<std::int64_t>(table.rows[0][5].value) == 4);
  CHECK(std::get<std::string>(table.rows[0][7].value).substr(0, 2) == "D1");
  CHECK(die_findings_table(order, plan).rows.size() == 3);
  // Of a die that is there nothing is to be looked at before making; each single finding stays listed.
  order.lines[1].to_make = 0;
  order.lines[2].to_make = 0;
  const Table made = gathered_findings_table(order, plan);
  REQUIRE(made.rows.size() == 1);
  CHECK(std::get<double>(made.rows[0][2].value) == 2.0);
  CHECK(die_findings_table(order, plan).rows.size() == 3);
}

TEST_CASE("an earlier order tells which dies of a pair it ordered", "[die_tables]") {
  const auto dies = read_die_order(
      R"({"lastwright_die_order":1,"dies":[)"
      R"({"die":"D1","piece":"vamp","hands":"pair, left and right","file":"a.dxf","file_mirrored":"b.dxf"},)"
      R"({"die":"D2","piece":"vamp","hands":"pair, left and right","file_mirrored":"c.dxf"},)"
      R"({"die":"D3","piece":"tongue","hands":"one, symmetric","file":"d.dxf"},)"
      R"({"die":"D4","piece":"vamp","hands":"pair, left and right"}]})",
      "order");
  REQUIRE(dies);
  REQUIRE(dies->size() == 3);  // the last was owned then
  CHECK((*dies)[0].pair);
  CHECK((*dies)[1].file.empty());
  CHECK((*dies)[1].file_mirrored == "c.dxf");
  CHECK_FALSE((*dies)[2].pair);
}

TEST_CASE("no heading of a table stands over nothing, and every row goes to the end", "[report]") {
  Table table;
  table.columns = {{"piece"}, {"zone"}, {"pairs"}, {"with"}, {"late by"}};
  table.rows = {{{"vamp"}, {""}, {std::int64_t{0}}}, {{"tongue"}, {}, {std::int64_t{4}}, {"counter"}, {}}};
  const std::string html = html_table(table);
  const auto count = [&](const std::string& words) {
    std::size_t found = 0;
    for (std::size_t at = html.find(words); at != std::string::npos; at = html.find(words, at + 1)) ++found;
    return found;
  };
  CHECK(count("<th scope=\"col\"") == 3);
  CHECK(count(">zone<") + count(">late by<") == 0);
  CHECK(count("<th scope=\"row\"") + count("<td") == 6);
  CHECK(count("class=\"long\"") == 0);
  table.rows[1][3] = {std::string(61, 'w')};
  CHECK(html_table(table).find("<td class=\"long\">www") != std::string::npos);
  table.rows.clear();  // nothing is known of the columns
  CHECK(html_table(table).find(">zone<") != std::string::npos);
}
