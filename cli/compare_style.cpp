#include "cli/compare_style.hpp"

#include <optional>

namespace lastwright {

Result<TableComparison> compare_style(const LoadedStyle& style, std::string key, const std::string& width) {
  std::optional<Width> in;
  if (!width.empty()) {
    const Result<Width> found = style.ladder.width(width);
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
    if (said) return printed.problem();
  }
  const Result<RuledTable> by_rule = style.tables.find_ruled(key);
  return by_rule ? compare(mine, *by_rule, in) : Result<TableComparison>(by_rule.problem());
}

}  // namespace lastwright
