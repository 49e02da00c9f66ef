#include <unistd.h>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <limits>
#include <random>
#include <string>

#include "cli/progress.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"
#include "cli/tables/xlsx_read.hpp"
#include "geometry/io/utf8.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

TEST_CASE("numbers carry their decimals, correctly rounded, and never a locale", "[table]") {
  CHECK(with_decimals(246.0, 2) == "246.00");
  CHECK(with_decimals(0.125, 2) == "0.12");  // halfway, held exactly: to even
  CHECK(with_decimals(-0.001, 2) == "0.00");
  CHECK(with_decimals(-0.006, 2) == "-0.01");
  CHECK(with_decimals(1e300, 0).size() == 301);
  // As the C library prints them, halves included: 0.125 and the like are held exactly, 0.285 is not.
  std::mt19937_64 random(26);
  for (int i = 0; i < 20000; ++i) {
    const int decimals = static_cast<int>(random() % 10);
    const double value = static_cast<double>(static_cast<std::int64_t>(random() % 4000001) - 2000000) / 8.0 /
                         (i % 2 == 0 ? 1.0 : std::pow(10.0, static_cast<double>(random() % 8)));
    std::array<char, 64> printed{};
    std::snprintf(printed.data(), printed.size(), "%.*f", decimals, value);
    std::string wanted = printed.data();
    if (wanted.find_first_not_of("-0.") == std::string::npos && wanted.front() == '-') wanted.erase(0, 1);
    REQUIRE(with_decimals(value, decimals) == wanted);
  }
  CHECK(with_decimals(std::nan(""), 2).empty());
  CHECK(with_decimals(std::numeric_limits<double>::infinity(), 2).empty());
}

TEST_CASE("fields of CSV are quoted where RFC 4180 asks for it and never become formulas", "[csv]") {
  const std::pair<std::string, std::string> cases[] = {
      {"vamp", "vamp"},
      {"", ""},
      {"a,b", "\"a,b\""},
      {"say \"8\"", "\"say \"\"8\"\"\""},
      {"two\r\nlines", "\"two\r\nlines\""},
      {"=1+1", "'=1+1"},
      {"=HYPERLINK(\"http://x\",\"y\")", "\"'=HYPERLINK(\"\"http://x\"\",\"\"y\"\")\""},
      {"@SUM(A1)", "'@SUM(A1)"},
      {"+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"},
      {"-2+3", "'-2+3"},
      {"-2.5", "-2.5"},
      {"+4", "+4"},
      {"\t=1", "\"'\t=1\""},
      {"8½", "8½"},
  };
  for (const auto& [text, field] : cases) CHECK(csv_field(text) == field);
}

TEST_CASE("a table becomes lines that all have as many fields as the header", "[csv]") {
  const Table table{"girths",
                    {{"size"}, {"ball girth, mm"}, {"pairs", 8, 0}},
                    {{{"8"}, {246.0}, {std::int64_t{12}}}, {{"8.5"}}, {}},
                    1};
  CHECK(to_csv(table) == "size,\"ball girth, mm\",pairs\r\n8,246.00,12\r\n8.5,,\r\n,,\r\n");
}

TEST_CASE("the same tables give the same workbook", "[xlsx]") {
  const Table table{"girths", {{"size"}, {"girth"}}, {{{"=1+1"}, {246.0, Emphasis::kBad}}}, 1};
  const auto first = to_xlsx({table, table}, "title");
  REQUIRE(first);
  CHECK(first->substr(0, 2) == "PK");
  CHECK(*to_xlsx({table, table}, "title") == *first);
  const Table long_heading{"t", {{std::string(40000, 'x')}}, {{{"a"}}}, 1};
  const auto refused = to_xlsx({long_heading}, "title");
  REQUIRE_FALSE(refused);
  CHECK(refused.problem().trouble == Trouble::kBudget);
}

TEST_CASE("a workbook holds texts of any length, whole, and every number once", "[xlsx]") {
  test::holds_for_all(
      "cells below each other, joined, are the text",
      [] {
        const std::string words[]{"die ", "D0001, ", "\xC3\xA9", "\xF0\x9F\x91\x9E", "=", "<&> "};
        Table table{"notes", {{"n"}, {"a"}, {"b"}}, {}, 1};
        std::vector<std::vector<std::string>> texts;
        for (std::int64_t row = 0; row < 2; ++row) {
          texts.push_back({});
          for (int column = 0; column < 2; ++column) {
            const std::string& word = words[*rc::gen::inRange(0, 6)];
            const int times = *rc::gen::element(1, 30, 5460, 8191, 8192, 16384);
            std::string text = "x";
            for (int k = 0; k < times; ++k) text += word;
            texts.back().push_back(text + "y");
          }
          table.rows.push_back({{row + 1}, {texts.back()[0]}, {texts.back()[1]}});
        }
        const Result<std::string> book = to_xlsx({table}, "title");
        RC_ASSERT(book.ok());
        const auto tabs = read_xlsx(*book);
        RC_ASSERT(tabs.ok());
        std::vector<std::vector<std::string>> read;
        for (const WorkbookRow& row : tabs->front().rows) {
          if (row.number == 1) continue;  // the header
          if (row.cells.front().column == 0) {
            RC_ASSERT(row.cells.front().text == std::to_string(read.size() + 1));
            read.push_back({"", ""});
          }
          for (const WorkbookCell& cell : row.cells) {
            if (cell.column == 0) continue;
            read.back()[cell.column - 1] += cell.text;
            std::size_t units = 0;
            for (std::size_t at = 0; at < cell.text.size();) {
              const Utf8Character c = next_character(cell.text, at);
              units += c.code > 0xFFFF ? 2 : 1;
              at += c.bytes;
            }
            RC_ASSERT(units <= 32767u);
          }
        }
        for (std::vector<std::string>& row :
             texts)  // what reads a workbook takes spaces off the ends of cells
          for (std::string& text : row) std::erase(text, ' ');
        for (std::vector<std::string>& row : read)
          for (std::string& text : row) std::erase(text, ' ');
        RC_ASSERT(read == texts);
      },
      6);
}

TEST_CASE("the progress line fits its terminal and is not drawn elsewhere", "[progress]") {
  CHECK(progress_line("grading", 1234, 8000, 200) ==
        "grading 1,234 of 8,000 [=====>                                ]");
  for (std::size_t columns = 0; columns < 120; ++columns) {
    CHECK(progress_line("grading", 7999, 8000, columns).size() <= columns);
  }
  int ends[2];
  REQUIRE(::pipe(ends) == 0);
  {
    Progress progress("grading", 10, ends[1]);
    CHECK_FALSE(progress.shown());
    progress.advance(10);
  }
  ::close(ends[1]);
  char byte = 0;
  CHECK(::read(ends[0], &byte, 1) == 0);
  ::close(ends[0]);
}
