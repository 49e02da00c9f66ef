#include "grading/planning/text_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/files/note_line.hpp"
#include "geometry/io/utf8.hpp"

namespace lastwright {

namespace {

std::string_view without_blanks(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

TextTable::Row split_row(std::string_view line, long number, char between) {
  TextTable::Row row{number, {}, {}};
  std::size_t at = 0;
  while (true) {
    std::string field;
    if (at < line.size() && line[at] == '"') {
      bool closed = false;
      for (++at; at < line.size(); ++at) {
        if (line[at] != '"') {
          field += line[at];
        } else if (at + 1 < line.size() && line[at + 1] == '"') {
          field += line[++at];
        } else {
          closed = true;
          ++at;
          break;
        }
      }
      if (!closed) row.fault = "a quote does not close in its line";
      if (closed && at < line.size() && line[at] != between) row.fault = "something follows a closing quote";
      at = std::min(line.find(between, at), line.size());
    } else {
      const std::size_t end = std::min(line.find(between, at), line.size());
      field = without_blanks(line.substr(at, end - at));
      at = end;
    }
    row.fields.push_back(std::move(field));
    if (at >= line.size()) return row;
    ++at;
  }
}

bool is_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character character = next_character(text, at);
    if (!character.valid) return false;
    at += character.bytes;
  }
  return true;
}

char parting_of(std::string_view header) {
  for (const char between : {';', '\t'}) {
    if (header.find(between) != std::string_view::npos && header.find(',') == std::string_view::npos)
      return between;
  }
  return ',';
}

}  // namespace

Result<TextTable> parse_csv_table(std::string_view text, const std::string& file,
                                  const TextTableLimits& limits) {
  TextTable table;
  table.file = file;
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  long number = 0;
  char between = ',';
  bool headed = false;
  std::size_t fields = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    ++number;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (without_blanks(line).empty() || (!headed && line.starts_with('#'))) continue;
    if (!headed) between = parting_of(line);
    TextTable::Row row = split_row(line, number, between);
    if (line.starts_with('#')) {
      if (!may_be_row(row.fields.size(), table.header.fields.size())) continue;
      row.fault = kNoteOrRow;
    }
    if (!is_utf8(line)) row = {number, {}, "the line is not text in UTF-8: save the file so"};
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
