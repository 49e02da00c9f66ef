#include "grading/jobs/compare_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

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
  return bad_value(
      fmt::format("there is no printed or measures table \"{}\"{}; \"lastwright sizes --list\" shows all",
                  key, suggestion(key, known)));
}

}  // namespace

Result<TableComparison> compare_style(const LoadedStyle& style, std::string key,
                                      const std::optional<Width>& width) {
  const ComparedStyle mine{style.measures, style.run, style.scale.key, style.ladder.key};
  const bool ruled = key.starts_with("measures-");
  const bool said = ruled || key.starts_with("printed-");
  if (said) key = key.substr(key.find('-') + 1);
  if (!ruled) {
    const Result<PrintedTable> printed = style.tables.find_printed(key);
    if (printed) return compare(mine, *printed, width);
    if (said || printed.problem().trouble != Trouble::kBadValue) return printed.problem();
  }
  const Result<RuledTable> by_rule = style.tables.find_ruled(key);
  if (by_rule) return compare(mine, *by_rule, width);
  if (!ruled && by_rule.problem().place.file.empty()) return no_table(style.tables, key);
  return by_rule.problem();
}

}  // namespace lastwright
