// An order: pairs by style, size and width, as a table of texts states them.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"
#include "grading/planning/works.hpp"
#include "grading/sizes/size_run.hpp"

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

// RFC 4180 quoting, fields parted by commas, or by semicolons or tabs where the header has those instead;
// lines may end in LF or CR LF; a byte order mark, blank lines and lines that begin with # are passed over,
// but for one with as many fields as the header, which is a row at fault (geometry/files/note_line.hpp).
Result<TextTable> parse_csv_table(std::string_view text, const std::string& file,
                                  const TextTableLimits& limits = {});

struct OrderLine {
  std::string style;
  std::string size;  // as the style labels it
  std::string width;
  int pairs = 0;
  std::string case_number;  // as the order gives it; empty: none
  int period = 0;           // when the pairs are wanted; 0: not stated
  long line = 0;
  bool operator==(const OrderLine&) const = default;
};

struct Order {
  std::string file;
  std::vector<OrderLine> lines;   // in the order of the file
  std::vector<Problem> bad_rows;  // each with its line: nothing of them is in any figure
  int pairs = 0;
};

// What the rows of an order may name: the run of each style.
using OrderedRuns = std::map<std::string, SizeRun>;

// Columns by name, in any order: size, width, pairs and, where they are wanted, style (one may be left out
// where there is only one style), case, period; or, for cases of a stated assortment, assortment and cases.
// Further columns named like "7 F" hold the pairs of that size and width, so that a row is a run. A header
// that names no such thing is refused; a row that is not understood is listed and left out.
Result<Order> read_order(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works);

}  // namespace lastwright
