#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <string>

#include "cli/tables/readings_csv.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

const std::string kReadingsHeader = "id,size,width,hand,measure,value,unit,gauge\n";

}  // namespace

TEST_CASE("what of a batch was not read is named", "[girths]") {
  const auto read = parse_readings(kReadingsHeader +
                                       "A,8,F,left,ball girth,247,mm,g\nA,8,F,left,instep girth,,mm,g\n"
                                       "A,8,F,right,ball girth,,mm,g\nA,8,F,right,instep girth,,mm,g\n",
                                   "r.csv");
  REQUIRE(read);
  CHECK(read->rows.size() == 1);
  CHECK(not_read(*read) == "not read at all: A right; not read: instep girth of A left");
}

TEST_CASE("lasts of which no row could be judged are named", "[girths]") {
  const auto read = parse_readings(kReadingsHeader +
                                       "A,8,F,left,ball girth,247,mm,g\nA,8,F,right,ball girth,247x,mm,g\n"
                                       "B,8,F,left,ball girth,-4,mm,g\nB,8,F,right,ball grith,247,mm,g\n"
                                       "C,8,F,left,ball girth,247,5,mm,g\n"
                                       "D,8,F,left,ball girth,247,mm,g\nD,8,F,left,ball girth,x,mm,g\n",
                                   "r.csv");
  REQUIRE(read);
  CheckedReadings checked;
  for (const ReadingRow& row : read->rows) {  // as if the values that are none were refused
    if (row.value != "247" || row.measure != "ball girth") continue;
    checked.readings.emplace_back();
    checked.readings.back().id = row.id;
    checked.readings.back().line = row.line;
  }
  CHECK(not_judged(*read, checked) == "not judged at all: A right, B, C");
  CHECK(not_judged({}, checked).empty());
}

TEST_CASE("a row that is not there is not read, as one without a value", "[girths][law]") {
  test::holds_for_all("rows left empty or left out", [&] {
    std::string blank = kReadingsHeader;
    std::string gone = kReadingsHeader;
    std::size_t missed = 0;
    for (int id = 0; id < 8; ++id) {
      const int skipped = *rc::gen::inRange(0, 8);  // 0 the left last, 1 the right: not read at all
      for (int hand = 0; hand < 2; ++hand) {
        const int lost = *rc::gen::inRange(0, 12);  // one of its measures at most
        for (int measure = 0; measure < 3; ++measure) {
          const char* const names[] = {"ball girth", "instep girth", "tread"};
          const bool empty = (skipped == hand && id % 3 == 0) || (lost == measure && id % 2 == 0);
          missed += empty ? 1 : 0;
          const std::string row = fmt::format("N{},8,F,{},{},{},mm,\n", id, hand == 0 ? "left" : "right",
                                              names[measure], empty ? "" : "247");
          blank += row;
          if (!empty) gone += row;
        }
      }
    }
    const auto one = parse_readings(blank, "r.csv");
    const auto other = parse_readings(gone, "r.csv");
    RC_ASSERT((one.ok() && other.ok()));
    RC_ASSERT(other->left_empty.empty());
    RC_ASSERT(not_read(*one) == not_read(*other));
    RC_ASSERT(not_read(*one).empty() == (missed == 0));
  });
  // What is read of few lasts is not asked of the others, nor a second hand where few have one.
  const auto few = parse_readings(kReadingsHeader +
                                      "A,8,F,left,ball girth,247,mm,\nB,8,F,left,ball girth,247,mm,\n"
                                      "C,8,F,left,Ball girth,247,mm,\nC,8,F,R,tread,80,mm,\n",
                                  "r.csv");
  REQUIRE(few);
  CHECK(not_read(*few) == "not read: ball girth of C R");
}
