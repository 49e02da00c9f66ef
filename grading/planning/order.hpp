// An order: pairs by style, size and width, as a table of texts states them.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/planning/text_table.hpp"
#include "grading/planning/works.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

struct OrderLine {
  std::string style;
  std::string size;  // as the style labels it
  std::string width;
  int pairs = 0;
  std::string case_number;  // as the order gives it; empty: none
  int period = 0;           // when the pairs are wanted; 0: not stated
  long line = 0;
  std::string due = {};         // "2031-04-17"; empty: not stated
  std::string assortment = {};  // that its case is filled with; empty: none
  bool operator==(const OrderLine&) const = default;
};

struct Order {
  std::string file;
  std::string name;               // that tells it from other orders, before each ticket's number; empty: none
  bool named_after_file = false;  // the name is the file's
  std::vector<std::string> names;  // that its rows give it, each once
  std::vector<OrderLine> lines;    // in the order of the file
  std::vector<Problem> bad_rows;   // each with its line: nothing of them is in any figure
  std::vector<Problem> told;       // what is in every figure and may not be meant, each with its line
  int pairs = 0;
  // A row may have several bad cells, each a Problem of its own.
  [[nodiscard]] std::size_t rows_left_out() const;
};

// What the rows of an order may name: the run of each style.
using OrderedRuns = std::map<std::string, SizeRun>;

// Columns by name (grading/planning/headings.hpp), in any order: size, width, pairs and, where they are
// wanted, style (one may be left out where there is only one style), case, period, due, order; or, for cases
// of a stated assortment, assortment and cases. Further columns named like "7 F" hold the pairs of that size
// and width, so that a row is a run. Other columns are told and not read; one that is nearly named like a
// known one is refused, and so is a header that names no such thing. Every bad cell of a row is listed, and
// the row left out. A due date is a day of the works' calendar and gives the period. What one row of a
// numbered case says of its period and date holds for those that say nothing. So is one whose case is a whole
// case of an assortment in another row, and one that states two numbers of pairs of one size and width, by
// its columns or by its assortment. A case that pairs of several styles are in is one for each: its number
// has the style behind it then. Rows that order what another row orders count as they stand, and are told.
Result<Order> read_order(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works);

}  // namespace lastwright
