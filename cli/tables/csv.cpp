#include "cli/tables/csv.hpp"

#include <charconv>
#include <cmath>

namespace lastwright {

namespace {

bool is_plain_number(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0.0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  return read.ec == std::errc() && read.ptr == text.data() + text.size() && std::isfinite(value);
}

}  // namespace

std::string csv_field(std::string_view text) {
  std::string field;
  if (!text.empty() && std::string_view("=+-@\t\r").find(text.front()) != std::string_view::npos &&
      !is_plain_number(text)) {
    field = "'";
  }
  field += text;
  const bool quoted = field.find_first_of("\",\r\n;\t") != std::string::npos || field.starts_with(' ') ||
                      field.ends_with(' ');
  if (!quoted) return field;
  std::string inside;
  for (const char c : field) inside += c == '"' ? std::string("\"\"") : std::string(1, c);
  return '"' + inside + '"';
}

void CsvText::part() {
  if (!at_start_) text_ += ',';
  at_start_ = false;
}

void CsvText::add(std::string_view text) {
  part();
  text_ += csv_field(text);
}

void CsvText::add(std::int64_t whole) {
  part();
  text_ += std::to_string(whole);
}

void CsvText::add(double number, int decimals) {
  part();
  append_with_decimals(text_, number, decimals);
}

void CsvText::add_nothing() {
  part();
}

void CsvText::end_line() {
  text_ += "\r\n";
  at_start_ = true;
}

std::string to_csv(const Table& table) {
  CsvText csv;
  for (const TableColumn& column : table.columns) csv.add(column.title);
  csv.end_line();
  for (const std::vector<TableCell>& row : table.rows) {
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      if (c >= row.size()) {
        csv.add_nothing();
        continue;
      }
      const TableCell& cell = row[c];
      if (const auto* text = std::get_if<std::string>(&cell.value)) {
        csv.add(*text);
      } else if (const auto* whole = std::get_if<std::int64_t>(&cell.value)) {
        csv.add(*whole);
      } else if (const auto* number = std::get_if<double>(&cell.value)) {
        csv.add(*number, table.columns[c].decimals);
      } else {
        csv.add_nothing();
      }
    }
    csv.end_line();
  }
  return std::move(csv).take();
}

}  // namespace lastwright
