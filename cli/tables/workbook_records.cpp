#include "cli/tables/workbook_records.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>

#include "grading/sizes/small_letters.hpp"

namespace lastwright {
namespace {

constexpr std::size_t kMostKept = 5'000'000;  // fields: rows times columns that hold anything

bool among(const std::vector<std::string>& names, const std::string& text) {
  return std::find(names.begin(), names.end(), small_letters(text)) != names.end();
}

std::optional<std::size_t> header_of(const WorkbookTab& tab, const std::vector<std::string>& columns) {
  for (std::size_t r = 0; r < tab.rows.size() && r <= kMostTitles; ++r) {
    std::set<std::string> named;
    for (const WorkbookCell& cell : tab.rows[r].cells) {
      if (among(columns, cell.text)) named.insert(small_letters(cell.text));
    }
    if (named.size() >= kLeastNames) return r;
  }
  return std::nullopt;
}

std::string listed(const std::vector<std::string>& names, bool quoted) {
  std::string text;
  for (const std::string& name : names)
    text += (text.empty() ? "" : ", ") + (quoted ? "\"" + name + "\"" : name);
  return text;
}

}  // namespace

Result<WorkbookRecords> WorkbookRecords::find(std::string_view bytes,
                                              const std::vector<std::string>& columns) {
  Result<std::vector<WorkbookTab>> tabs = read_xlsx(bytes);
  if (!tabs) return tabs.problem();
  const auto refused = [](Trouble trouble, std::string message) {
    return Problem{trouble, std::move(message), {}, {}, {}};
  };
  std::vector<std::string> all;
  std::vector<std::string> fit;
  WorkbookRecords found;
  for (WorkbookTab& tab : *tabs) {
    all.push_back(tab.name);
    const auto header = header_of(tab, columns);
    if (!header) continue;
    fit.push_back(tab.name);
    found.tab_ = std::move(tab);
    found.at_ = *header;
  }
  if (fit.empty()) {
    return refused(
        Trouble::kBadValue,
        fmt::format("no tab of the workbook has a row with the names of columns ({}); its tabs are {}",
                    listed(columns, false), listed(all, true)));
  }
  if (fit.size() > 1) {
    return refused(
        Trouble::kBadValue,
        fmt::format("the tabs {} all have these columns; leave one of them in the workbook, or save "
                    "each as CSV",
                    listed(fit, true)));
  }
  std::set<std::size_t> used;
  const auto& rows = found.tab_.rows;
  for (std::size_t r = found.at_; r < rows.size(); ++r) {
    for (const WorkbookCell& cell : rows[r].cells) used.insert(cell.column);
  }
  if (used.size() * (rows.size() - found.at_) > kMostKept) {
    return refused(Trouble::kBudget,
                   fmt::format("the tab \"{}\" has {} rows and {} columns: more than {} fields",
                               found.tab_.name, rows.size() - found.at_, used.size(), kMostKept));
  }
  found.columns_.assign(used.begin(), used.end());
  found.known_.assign(found.columns_.size(), false);
  for (const WorkbookCell& cell : rows[found.at_].cells) {
    const auto place = std::lower_bound(found.columns_.begin(), found.columns_.end(), cell.column);
    found.known_[static_cast<std::size_t>(place - found.columns_.begin())] = among(columns, cell.text);
  }
  return found;
}

bool WorkbookRecords::next(DelimitedRecord& record) {
  if (at_ >= tab_.rows.size()) return false;
  const WorkbookRow& row = tab_.rows[at_];
  const bool header = !started_;
  started_ = true;
  record = {row.number, {}, {}};
  auto cell = row.cells.begin();
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    std::string field;
    if (cell != row.cells.end() && cell->column == columns_[i]) {
      field = cell->text.empty() ? cell->fault : cell->text;
      if (known_[i] && !cell->fault.empty() && record.fault.empty())
        record.fault = fmt::format("the cell {}{} {}", column_letters(columns_[i]), row.number, cell->fault);
      ++cell;
    }
    if (header && field.empty()) field = "column " + column_letters(columns_[i]);
    record.fields.push_back(std::move(field));
  }
  ++at_;
  return true;
}

}  // namespace lastwright
