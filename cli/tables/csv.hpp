// Tables as comma-separated values: RFC 4180, UTF-8, lines
// ended by CR LF, a decimal point whatever the locale.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

#include "cli/tables/table.hpp"

namespace lastwright {

// Writes line by line what need not be held as a table.
class CsvText {
 public:
  void add(std::string_view text);
  void add(std::int64_t whole);
  void add(double number, int decimals);  // nothing for NaN and infinities
  void add_nothing();
  void end_line();
  [[nodiscard]] std::string take() && { return std::move(text_); }

 private:
  void part();

  std::string text_;
  bool at_start_ = true;
};

// The header line and one line a row.
std::string to_csv(const Table& table);

// One field. Quoted where the format asks for it. A text that a spreadsheet would take for a formula (it
// begins with = + - @ or a tab or return, and is no plain number) gets an apostrophe put before it: opening a
// table never runs what somebody typed as a piece's name.
std::string csv_field(std::string_view text);

}  // namespace lastwright
