// What stands once on the pages for people, and nowhere less in the tables for programs.
#include "cli/planning/needs_report.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "cli/planning/dates_report.hpp"
#include "cli/planning/hide_report.hpp"
#include "cli/planning/needs_json.hpp"
#include "grading/json/json_text.hpp"
#include "tests/support/parsed_json.hpp"

using namespace lastwright;

namespace {

std::size_t times(const std::string& text, const std::string& words) {
  std::size_t count = 0;
  for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1)) ++count;
  return count;
}
bool page_says(const std::string& text, const std::string& words) {
  return times(text, words) > 0;
}

}  // namespace

TEST_CASE("what several materials rest on is said once, of which", "[planning]") {
  Needs needs;
  for (const char* const name : {"calf", "felt", "board"}) {
    MaterialNeed need;
    need.name = name;
    need.scale = 1.0;
    need.notes = {"no hide is given", "defects are not given"};
    needs.materials.push_back(need);
  }
  needs.materials[0].notes = {"your hide", "defects are not given", "cut & dried"};
  needs.materials[2].notes.emplace_back("cut & dried");
  const std::string page = needs_page(needs, {}, {});
  CHECK(times(page, "defects are not given") == 1);
  CHECK(page_says(page, "<li>all materials: defects are not given</li>"));
  CHECK(page_says(page, "<li>all but calf: no hide is given</li>"));
  CHECK(page_says(page, "<li>all but felt: cut &amp; dried</li>"));
  CHECK(times(page, "your hide") == 1);
  CHECK_FALSE(page_says(page, ": your hide"));
  // Each row of a table that is carried away alone has all of its own.
  for (const Table& table : needs_tables(needs, {}, {})) {
    if (table.name != "materials") continue;
    REQUIRE(table.rows.size() == 3);
    CHECK(std::get<std::string>(table.rows[1].back().value) == "no hide is given; defects are not given");
  }
  CHECK(times(needs_json(needs, {}, {}), "defects are not given") == 3);
  // Notes of the same materials stand together; of one material alone in its row.
  needs.materials.resize(2);
  needs.materials[0].notes = needs.materials[1].notes;
  CHECK(page_says(needs_page(needs, {}, {}),
                  "<li>all materials: no hide is given; defects are not given</li>"));
  needs.materials.resize(1);
  CHECK_FALSE(page_says(needs_page(needs, {}, {}), "<li>"));
}

TEST_CASE("rows of a period plan that hold nothing are left out and named", "[planning]") {
  Schedule schedule;
  schedule.plan.periods = 1;
  for (const char* const name : {"calf", "welt"}) {
    ItemPlan item;
    item.name = name;
    item.gross = {0.0, 2.0};
    item.receipts = {0.0, 0.0};
    item.on_hand = {name[0] == 'c' ? 0.0 : 3.0, 0.0};
    item.net = {0.0, 2.0};
    item.planned = {0.0, -0.5};
    item.releases = {2.0, 0.0};
    schedule.plan.items.push_back(item);
  }
  const WorksSpec works;
  const std::string page = dates_page(schedule, works, {}, {});
  CHECK(page_says(page, "left out: on order (all items); on hand (calf).</p>"));
  CHECK_FALSE(page_says(page, ">on order</td>"));
  CHECK(times(page, ">on hand</td>") == 1);
  CHECK(times(page, ">planned in</td>") == 2);
  for (const Table& table : dates_tables(schedule, works, {})) {
    if (table.name == "by period") CHECK(table.rows.size() == 12);  // for programs each item has its six
  }
  for (ItemPlan& item : schedule.plan.items) item.receipts = item.on_hand = {1.0, 1.0};
  CHECK_FALSE(page_says(dates_page(schedule, works, {}, {}), "left out"));
}

TEST_CASE("what is bought ready cut is counted and has no area in what needs writes", "[planning]") {
  Needs needs;
  MaterialNeed heel;
  heel.name = "heel";
  heel.stated = true;
  heel.bought_as = BoughtAs::kPieces;
  heel.pieces = 12;
  heel.net = 123e4;
  heel.scale = 456e4;
  needs.materials = {heel};
  PieceNeed piece;
  piece.material = "heel";
  piece.pieces = 12;
  piece.pairs = 6;
  piece.net = 123e4;
  piece.scale = 456e4;
  piece.ready_cut = true;
  needs.pieces = {piece};
  PairNeed pair;
  pair.material = "heel";
  pair.net = 123e4;
  pair.scale = 456e4;
  pair.pairs = 1;
  pair.bought_as = BoughtAs::kPieces;
  needs.more = {pair};
  const auto silent = [](const std::string& text) {
    return !page_says(text, "123") && !page_says(text, "456");
  };
  CHECK(silent(needs_page(needs, {}, {})));
  CHECK(silent(needs_text(needs, {})));
  CHECK(silent(needs_json(needs, {}, {})));
  CHECK(page_says(needs_text(needs, {}), "12 pieces"));
  const Json json = test::parsed_json(needs_json(needs, {}, {}));
  for (const char* const list : {"materials", "pieces", "one_more_pair"}) {
    CHECK(json.at(list)[0].at("net_mm2").is_null());
    CHECK(json.at(list)[0].at("scale_mm2").is_null());
  }
  needs.materials[0].bought_as = needs.more[0].bought_as = BoughtAs::kHides;
  needs.pieces[0].ready_cut = false;
  CHECK_FALSE(silent(needs_text(needs, {})));
  CHECK(times(needs_json(needs, {}, {}), "1230000") == 3);
}

TEST_CASE("what is bought whole says how much of it is needed", "[planning]") {
  Needs needs;
  MaterialNeed kip;
  kip.name = "kip";
  kip.stated = true;
  needs.materials = {kip};
  for (const auto& [units, says] : {std::pair(0.014, "1 hide (0.01 needed)"),
                                    {0.0001, "1 hide (less than 0.01 needed)"},
                                    {1.77, "2 hides (1.77 needed)"},
                                    {2.0, "2 hides\n"},
                                    {1.999, "2 hides\n"}}) {
    needs.materials[0].units = units;
    CHECK(page_says(needs_text(needs, {}), says));
  }
}

TEST_CASE("an order that is not late says too what of it is missing when it arrives", "[planning]") {
  Schedule schedule;
  schedule.orders = {{"laces", "Bits", "pairs", 12.0, 2, 3, 7.0}, {"welt", "Bits", "m", 9.0, -1, 1, 4.0}};
  const Table table = dates_tables(schedule, {}, {}).front();
  REQUIRE(table.columns.back().title == "missing");
  CHECK(std::get<double>(table.rows[0].back().value) == 7.0);
  CHECK(std::get<double>(table.rows[1].back().value) == 4.0);
  CHECK(page_says(dates_text(schedule, {}),
                  "LATE by 2 periods (4.00 of it missing, the rest fills its multiple)"));
}

TEST_CASE("a hide's page and JSON say what the drawings hold and no piece has", "[planning]") {
  HideDrawing hide;
  hide.outline = {{0, 0}, {500, 0}, {500, 500}, {0, 500}};
  HideLayout layout;
  layout.pairs = 1;
  const StyleSpec style;
  HideReport report;
  report.spec = &style;
  report.hide = &hide;
  report.layout = &layout;
  const std::string words = "upper.dxf: left out: 2 entities: 2 LINE on the layer <9>";
  CHECK_FALSE(page_says(hide_page(report), "no piece has"));
  CHECK(test::parsed_json(hide_json(report)).at("doubts").empty());
  report.doubts = {words};
  CHECK(page_says(hide_page(report), "2 LINE on the layer &lt;9&gt;"));
  CHECK(test::parsed_json(hide_json(report)).at("doubts") == Json{words});
}
