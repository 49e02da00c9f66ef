// Tables of texts, as CSV states them.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

// A table of texts with the line each row stands in.
struct TextTable {
  struct Row {
    long line = 0;
    std::vector<std::string> fields;
    std::string fault;  // empty, or what is wrong with its form
    // Cells that hold a date, which spreadsheets make unasked: the field is "2026-11-29", and this says so.
    struct Date {
      std::size_t column = 0;
      std::string fault;
    };
    std::vector<Date> dates = {};
  };
  std::string file;
  Row header;
  std::vector<long> above;  // lines that hold something before the header
  int sought = 0;           // rows among which no header was found: the first is taken for it; 0: one was
  std::vector<Row> rows;
  // Of a workbook: the sheet that this is, others that hold something, and of these such as have its headings
  // too, which one that was asked for by name has none of.
  std::string sheet = {};
  std::vector<std::string> other_sheets = {};
  std::vector<std::string> alike_sheets = {};
};

// Whether fields may be the headings; empty: those of the first row are.
using HeadsTable = std::function<bool(const std::vector<std::string>&)>;
// They are looked for in so many rows.
inline constexpr int kMostAboveHeader = 20;

struct TextTableLimits {
  std::size_t rows = 200'000;
  std::size_t columns = 200;
  std::size_t fields = 2'000'000;  // of all rows
};

// Rows as DelimitedText parts them (geometry/files/delimited.hpp): readings and orders are read alike. A line
// that is no UTF-8 is a row at fault.
Result<TextTable> parse_csv_table(std::string_view text, const std::string& file,
                                  const TextTableLimits& limits = {}, const HeadsTable& heads = {});

}  // namespace lastwright
