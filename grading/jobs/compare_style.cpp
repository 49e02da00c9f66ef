#include "grading/jobs/compare_style.hpp"

#include <fmt/format.h>

#include <algorithm>

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

template <class Table>
Result<TableComparison> beside(const LoadedStyle& style, const Table& table, const StatedComparison& stated) {
  const auto scale = style.tables.find_scale(table.scale);
  if (!scale) return scale.problem();
  ComparisonOptions options{{}, {}, stated.allowances};
  if (!stated.width.empty()) {
    const Result<Width> width = style.ladder.width(stated.width);
    if (!width) return width.problem();
    options.width = *width;
  }
  if (!stated.their_width.empty()) {
    if (table.ladder.empty() || table.ladder == style.ladder.key)
      return Problem{Trouble::kUsage, fmt::format("\"{}\" has no widths of its own", table.key), {}, {}, {}};
    const auto ladder = style.tables.find_ladder(table.ladder);
    if (!ladder) return ladder.problem();
    const Result<Width> width = ladder->width(stated.their_width);
    if (!width) return width.problem();
    options.there = *width;
  }
  return compare({style.measures, style.run, style.scale, style.ladder.key}, table, *scale, options);
}

}  // namespace

Result<TableComparison> compare_style(const LoadedStyle& style, const StatedComparison& stated) {
  std::string key = stated.key;
  const bool ruled = key.starts_with("measures-");
  const bool said = ruled || key.starts_with("printed-");
  if (said) key = key.substr(key.find('-') + 1);
  if (!ruled) {
    const Result<PrintedTable> printed = style.tables.find_printed(key);
    if (printed) return beside(style, *printed, stated);
    if (said || printed.problem().trouble != Trouble::kBadValue) return printed.problem();
  }
  const Result<RuledTable> by_rule = style.tables.find_ruled(key);
  if (by_rule) return beside(style, *by_rule, stated);
  if (!ruled && by_rule.problem().place.file.empty()) return no_table(style.tables, key);
  return by_rule.problem();
}

}  // namespace lastwright
