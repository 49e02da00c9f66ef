// Tables of texts, as CSV states them.
#pragma once

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
  };
  std::string file;
  Row header;
  std::vector<Row> rows;
};

struct TextTableLimits {
  std::size_t rows = 200'000;
  std::size_t columns = 200;
  std::size_t fields = 2'000'000;  // of all rows
};

// Rows as DelimitedText parts them (geometry/files/delimited.hpp): readings and orders are read alike. A line
// that is no UTF-8 is a row at fault.
Result<TextTable> parse_csv_table(std::string_view text, const std::string& file,
                                  const TextTableLimits& limits = {});

}  // namespace lastwright
