// A table for people and spreadsheets: written once, put out as CSV or XLSX.
#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace lastwright {

enum class Emphasis { kNone, kHeading, kGood, kBad };

// Nothing, a text, a whole number, or a number shown with the column's decimals.
struct TableCell {
  std::variant<std::monostate, std::string, std::int64_t, double> value = {};
  Emphasis emphasis = Emphasis::kNone;  // a colour in a spreadsheet, nothing in CSV
};

struct TableColumn {
  std::string title = {};  // names the unit: "ball girth, mm"
  double width = 12.0;     // in a spreadsheet, characters
  int decimals = 2;        // of its fractional numbers, 0 to 9
};

struct Table {
  std::string name;  // of the spreadsheet's tab
  std::vector<TableColumn> columns;
  std::vector<std::vector<TableCell>> rows;  // each at most as long as columns
  int fixed_columns = 1;                     // that stay in sight when one scrolls to the right
  bool filter = false;                       // a spreadsheet offers to filter and sort by each column
};

// A number with that many decimals, correctly rounded, the same in every locale; "" for NaN and infinities,
// which no table shall hold.
std::string with_decimals(double value, int decimals);
void append_with_decimals(std::string& text, double value, int decimals);  // the same, 0 to 9 decimals

}  // namespace lastwright
