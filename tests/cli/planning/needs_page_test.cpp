// What stands once on the pages for people, and nowhere less in the tables for programs.
#include "cli/planning/needs_report.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "cli/planning/dates_report.hpp"
#include "cli/planning/needs_json.hpp"

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
