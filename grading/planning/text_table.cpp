#include "grading/planning/text_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "geometry/files/delimited.hpp"
#include "geometry/io/utf8.hpp"

namespace lastwright {

namespace {

bool is_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character character = next_character(text, at);
    if (!character.valid) return false;
    at += character.bytes;
  }
  return true;
}

// From the first record that may be the header; from the front where there is none.
DelimitedText from_header(std::string_view text, const HeadsTable& heads, TextTable& table) {
  DelimitedText at(text);
  DelimitedRecord record;
  for (; table.sought < kMostAboveHeader; ++table.sought) {
    DelimitedText next = at;
    if (!next.next(record)) break;
    if (record.fault.empty() && heads(record.fields)) {
      table.sought = 0;
      return at;
    }
    table.above.push_back(record.line);
    at = next.from_here();
  }
  table.above.clear();
  return DelimitedText(text);
}

}  // namespace

Result<TextTable> parse_csv_table(std::string_view text, const std::string& file,
                                  const TextTableLimits& limits, const HeadsTable& heads) {
  TextTable table;
  table.file = file;
  DelimitedText records = heads ? from_header(text, heads, table) : DelimitedText(text);
  DelimitedRecord record;
  bool headed = false;
  std::size_t fields = 0;
  while (records.next(record)) {
    const long number = record.line;
    TextTable::Row row{number, std::move(record.fields), std::move(record.fault)};
    if (!std::all_of(row.fields.begin(), row.fields.end(), is_utf8))
      row = {number, {}, "the line is not text in UTF-8: save the file so"};
    if (!headed && !row.fault.empty())
      return Problem{Trouble::kSyntax, row.fault, {file, number, {}, {}}, {}, {}};
    fields += row.fields.size();
    const auto too_many = [&](const char* what, std::size_t count, std::size_t limit) {
      return Problem{Trouble::kBudget,
                     fmt::format("the table has more {} than are read", what),
                     {file, number, {}, {}},
                     static_cast<double>(count),
                     static_cast<double>(limit)};
    };
    if (row.fields.size() > limits.columns) return too_many("columns", row.fields.size(), limits.columns);
    if (table.rows.size() >= limits.rows) return too_many("rows", table.rows.size() + 1, limits.rows);
    if (fields > limits.fields) return too_many("fields", fields, limits.fields);
    if (headed) {
      table.rows.push_back(std::move(row));
    } else {
      table.header = std::move(row);
      headed = true;
    }
  }
  if (!headed)
    return Problem{
        Trouble::kSyntax, "the file is empty; its first line names the columns", {file, 0, {}, {}}, {}, {}};
  return table;
}

}  // namespace lastwright
