#include "cli/compare_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "cli/option_problem.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

Problem no_table(const ReferenceTables& tables, const std::string& key) {
  std::vector<std::string> known;
  for (const char* kind : {"printed", "measures"}) {
    for (const TableEntry& entry : tables.list(kind)) {
      if (std::find(known.begin(), known.end(), entry.key) == known.end()) known.push_back(entry.key);
    }
  }
  return {
      Trouble::kUsage,
      fmt::format("--against: there is no printed or measures table \"{}\"{}; \"lastwright sizes --list\" "
                  "shows all",
                  key, suggestion(key, known)),
      {},
      {},
      {}};
}

}  // namespace

Result<TableComparison> compare_style(const LoadedStyle& style, std::string key, const std::string& width) {
  std::optional<Width> in;
  if (!width.empty()) {
    const Result<Width> found = in_option(style.ladder.width(width), "--width");
    if (!found) return found.problem();
    in = *found;
  }
  const ComparedStyle mine{style.measures, style.run, style.scale.key, style.ladder.key};
  const bool ruled = key.starts_with("measures-");
  const bool said = ruled || key.starts_with("printed-");
  if (said) key = key.substr(key.find('-') + 1);
  if (!ruled) {
    const Result<PrintedTable> printed = style.tables.find_printed(key);
    if (printed) return compare(mine, *printed, in);
    if (said || printed.problem().trouble != Trouble::kBadValue)
      return in_option(printed.problem(), "--against");
  }
  const Result<RuledTable> by_rule = style.tables.find_ruled(key);
  if (!by_rule && !ruled && by_rule.problem().place.file.empty()) return no_table(style.tables, key);
  return by_rule ? compare(mine, *by_rule, in)
                 : Result<TableComparison>(in_option(by_rule.problem(), "--against"));
}

}  // namespace lastwright
