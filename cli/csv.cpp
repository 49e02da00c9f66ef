#include "cli/csv.hpp"

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

std::string field_of(const TableCell& cell, int decimals) {
  if (const auto* text = std::get_if<std::string>(&cell.value)) return csv_field(*text);
  if (const auto* whole = std::get_if<std::int64_t>(&cell.value)) return std::to_string(*whole);
  if (const auto* number = std::get_if<double>(&cell.value)) return with_decimals(*number, decimals);
  return {};
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

std::string to_csv(const Table& table) {
  std::string csv;
  const std::size_t columns = table.columns.size();
  for (std::size_t c = 0; c < columns; ++c) csv += (c > 0 ? "," : "") + csv_field(table.columns[c].title);
  csv += "\r\n";
  for (const std::vector<TableCell>& row : table.rows) {
    for (std::size_t c = 0; c < columns; ++c) {
      if (c > 0) csv += ',';
      if (c < row.size()) csv += field_of(row[c], table.columns[c].decimals);
    }
    csv += "\r\n";
  }
  return csv;
}

}  // namespace lastwright
