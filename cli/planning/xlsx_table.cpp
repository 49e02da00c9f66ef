#include "cli/planning/xlsx_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/tables/xlsx_read.hpp"
#include "grading/planning/headings.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

Problem in_tab(Trouble trouble, std::string message, const std::string& file, long row = 0) {
  return {trouble, std::move(message), {file, row, {}, {}}, {}, {}};
}

Problem beyond(const char* what, const std::string& file, long row, std::size_t count, std::size_t limit) {
  Problem problem =
      in_tab(Trouble::kBudget, fmt::format("the tab has more {} than are read", what), file, row);
  problem.value = static_cast<double>(count);
  problem.limit = static_cast<double>(limit);
  return problem;
}

Result<const WorkbookTab*> chosen_tab(const std::vector<WorkbookTab>& tabs, const TabChoice& choice,
                                      const std::string& file) {
  const std::string& asked = choice.asked;
  std::vector<std::string> names;
  std::string listed;
  for (const WorkbookTab& tab : tabs) {
    names.push_back(tab.name);
    listed += fmt::format("{}\"{}\"", listed.empty() ? "" : ", ", tab.name);
  }
  const auto called = [&](const std::string& name) {
    const auto found =
        std::find_if(tabs.begin(), tabs.end(), [&](const WorkbookTab& one) { return one.name == name; });
    return found == tabs.end() ? nullptr : &*found;
  };
  if (!asked.empty()) {
    if (const WorkbookTab* tab = called(asked)) return tab;
    return in_tab(
        Trouble::kUsage,
        fmt::format("the workbook has no sheet \"{}\"{}; it has {}", asked, suggestion(asked, names), listed),
        file);
  }
  if (tabs.size() == 1) return &tabs.front();
  for (const WorkbookTab& tab : tabs) {
    if (plain_heading(tab.name) == choice.called) return &tab;
  }
  return in_tab(
      Trouble::kUsage,
      fmt::format("the workbook has several sheets, {}, and none is called {}: {}", listed, choice.called,
                  choice.option.empty() ? "call the one that is meant so" : "name one by " + choice.option),
      file);
}

TextTable::Row row_of_tab(const WorkbookRow& from) {
  TextTable::Row row{from.number, {}, {}, {}};
  for (const WorkbookCell& cell : from.cells) {
    const std::string fault =
        cell.fault.empty()
            ? ""
            : fmt::format("the cell {}{} {}", column_letters(cell.column), from.number, cell.fault);
    if (cell.date) {
      row.dates.push_back({cell.column, fault});
    } else if (!fault.empty()) {
      row.fault += (row.fault.empty() ? "" : "; ") + fault;
    }
    if (cell.text.empty() || !(cell.fault.empty() || cell.date)) continue;
    row.fields.resize(cell.column + 1);
    row.fields.back() = cell.text;
  }
  return row;
}

// The number of the first row that may be the header; 0 where there is none.
long header_row(const std::vector<WorkbookRow>& rows, const HeadsTable& heads, TextTable& table) {
  for (const WorkbookRow& from : rows) {
    const TextTable::Row row = row_of_tab(from);
    if (row.fields.empty() || row.fields.front().starts_with('#')) continue;
    if (heads(row.fields)) {
      table.sought = 0;
      return row.line;
    }
    table.above.push_back(row.line);
    if (++table.sought == kMostAboveHeader) break;
  }
  table.above.clear();
  return 0;
}

}  // namespace

Result<TextTable> parse_xlsx_table(std::string_view bytes, const std::string& file, const TabChoice& choice,
                                   const TextTableLimits& limits, const HeadsTable& heads) {
  const Result<std::vector<WorkbookTab>> tabs = read_xlsx(bytes);
  if (!tabs) return tabs.problem().in_file(file);
  const Result<const WorkbookTab*> tab = chosen_tab(*tabs, choice, file);
  if (!tab) return tab.problem();
  TextTable table;
  table.file = file;
  for (const WorkbookTab& other : *tabs) {
    if (&other == *tab || other.rows.empty()) continue;
    TextTable passed;
    const bool alike = heads && choice.asked.empty() && header_row(other.rows, heads, passed) > 0;
    (alike ? table.alike_sheets : table.other_sheets).push_back(other.name);
  }
  table.sheet = (*tab)->name;
  std::size_t fields = 0;
  const long header = heads ? header_row((*tab)->rows, heads, table) : 0;
  for (const WorkbookRow& from : (*tab)->rows) {
    if (from.number < header) continue;
    if (!from.cells.empty() && from.cells.back().column >= limits.columns)
      return beyond("columns", file, from.number, from.cells.back().column + 1, limits.columns);
    TextTable::Row row = row_of_tab(from);
    if (row.fields.empty() && row.fault.empty()) continue;
    if (!row.fields.empty() && row.fields.front().starts_with('#')) {
      if (table.header.fields.empty() || row.fields.size() == 1) continue;
      row.fault =
          "the row begins with #, as a note does, and has other cells too: take out the # if it is a row, or "
          "the cells if it is a note";
    }
    if (table.header.fields.empty()) {
      if (!row.fault.empty()) return in_tab(Trouble::kBadValue, row.fault, file, row.line);
      table.header = std::move(row);
      continue;
    }
    const std::size_t columns = table.header.fields.size();
    fields += columns;
    if (table.rows.size() >= limits.rows)
      return beyond("rows", file, row.line, table.rows.size() + 1, limits.rows);
    if (fields > limits.fields) return beyond("fields", file, row.line, fields, limits.fields);
    if (row.fields.size() > columns && row.fault.empty())
      row.fault = fmt::format("the cell {}{} stands under no heading", column_letters(row.fields.size() - 1),
                              row.line);
    row.fields.resize(columns);
    table.rows.push_back(std::move(row));
  }
  if (table.header.fields.empty())
    return in_tab(Trouble::kSyntax, "the sheet is empty; its first row names the columns", file);
  return table;
}

}  // namespace lastwright
