#include "grading/measures/printed_comparison.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace lastwright {
namespace {

template <class Other>
Status comparable(const ComparedStyle& style, const Other& other) {
  const auto refused = [](std::string message) {
    return Problem{Trouble::kUsage, std::move(message), {}, {}, {}};
  };
  if (other.of == Sizes::kFoot) {
    return refused(
        fmt::format("\"{}\" is a table of the foot; a last's measures are not compared with it", other.key));
  }
  if (other.scale != style.scale) {
    return refused(fmt::format("\"{}\" goes by the scale \"{}\" and the style by \"{}\"", other.key,
                               other.scale, style.scale));
  }
  return Done{};
}

bool in_run(const SizeRun& run, const SizeWidth& at) {
  const auto size = [&](const Size& one) { return one.position == at.size.position; };
  const auto width = [&](const Width& one) { return one.position == at.width.position; };
  return std::any_of(run.sizes.begin(), run.sizes.end(), size) &&
         std::any_of(run.widths.begin(), run.widths.end(), width);
}

void finish(CellDifference& cell, const MeasureTable& table) {
  cell.ours = table.value(cell.measure, cell.at);
  cell.difference = cell.ours - cell.theirs;
}

Result<TableComparison> finished(TableComparison comparison, const std::set<std::string>& unknown,
                                 const std::string& in_width) {
  if (comparison.cells.empty()) {
    return Problem{Trouble::kUsage,
                   fmt::format("\"{}\" shares no measure and size with the style's run", comparison.title),
                   {},
                   {},
                   {}};
  }
  for (const std::string& name : unknown) {
    comparison.notes.push_back(fmt::format("the style has no measure \"{}\": not compared", name));
  }
  if (!in_width.empty()) {
    comparison.notes.push_back(
        fmt::format("that table names no width of the style's ladder: compared with width {}", in_width));
  }
  return comparison;
}

}  // namespace

Result<TableComparison> compare(const ComparedStyle& style, const PrintedTable& printed,
                                const std::optional<Width>& width) {
  if (const Status status = comparable(style, printed); !status) return status.problem();
  TableComparison comparison{printed.title, printed.source, {}, {}};
  const Width fallback = width.value_or(style.table.base().at.width);
  std::set<std::string> unknown;
  std::string in_width;
  for (const PrintedCell& cell : printed.cells) {
    const auto measure = style.table.index(cell.measure);
    if (!measure) {
      unknown.insert(cell.measure);
      continue;
    }
    const bool own_width = cell.width && printed.ladder == style.ladder;
    const SizeWidth at{cell.size, own_width ? *cell.width : fallback};
    if (!in_run(style.run, at)) continue;
    if (!own_width) in_width = fallback.label;
    CellDifference difference{*measure, at,  cell.printed + " " + printed.unit, cell.millimetres.value(),
                              0.0,      0.0, cell.half_digit.value(),           cell.not_evidence};
    finish(difference, style.table);
    comparison.cells.push_back(std::move(difference));
  }
  return finished(std::move(comparison), unknown, in_width);
}

Result<TableComparison> compare(const ComparedStyle& style, const RuledTable& ruled,
                                const std::optional<Width>& width) {
  if (const Status status = comparable(style, ruled); !status) return status.problem();
  TableComparison comparison{ruled.title, ruled.source, {}, {}};
  const bool own_widths = !ruled.ladder.empty() && ruled.ladder == style.ladder;
  const Width fallback = width.value_or(style.table.base().at.width);
  std::set<std::string> unknown;
  for (std::size_t i = 0; i < ruled.table.size(); ++i) {
    const std::string& name = ruled.table.measures()[i].name;
    const auto measure = style.table.index(name);
    if (!measure) {
      unknown.insert(name);
      continue;
    }
    for (const SizeWidth& at : style.run.cells()) {
      if (!own_widths && at.width.position != fallback.position) continue;
      // A table of one width stands at its own base width, whatever the style calls it.
      const SizeWidth there{at.size, own_widths ? at.width : ruled.table.base().at.width};
      CellDifference difference{*measure, at, "", ruled.table.value(i, there), 0.0, 0.0, 0.0, ""};
      finish(difference, style.table);
      comparison.cells.push_back(std::move(difference));
    }
  }
  return finished(std::move(comparison), unknown, own_widths ? "" : fallback.label);
}

}  // namespace lastwright
