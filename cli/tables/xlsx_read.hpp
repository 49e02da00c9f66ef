// Tabs of a spreadsheet workbook (Office Open XML, ECMA-376 part 1, chapter 18), cell by cell as text.
//
// What a person sees in a cell comes out as they would write it: numbers with at
// most 15 digits, which is what spreadsheets keep; formulas by the value that was
// saved with them. Cells that hold something else say so: a date (which spreadsheets
// make of "3-4" and "1/2" unasked), an error, a formula that was never reckoned.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

struct WorkbookCell {
  std::size_t column = 0;  // from 0
  std::string text;        // as it shows; dates as 2026-11-29
  std::string fault;       // empty, or why it is neither a text nor a number
  bool date = false;       // the fault is that it is a date
};

struct WorkbookRow {
  long number = 0;                  // as the spreadsheet counts, from 1
  std::vector<WorkbookCell> cells;  // those that hold anything, in ascending columns
};

struct WorkbookTab {
  std::string name;
  std::vector<WorkbookRow> rows;  // those that hold anything, ascending
};

// "A", "Z", "AA".
std::string column_letters(std::size_t column);

// Refuses what is no workbook, saying what it is where that can be told, and more than its budgets (64 MB
// unpacked, as much text in cells).
Result<std::vector<WorkbookTab>> read_xlsx(std::string_view bytes);

}  // namespace lastwright
