// One reference table as it stands, for people who choose by it.
#include <fmt/format.h>

#include <algorithm>

#include "cli/listing/size_books.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

ListingColumn text_column(std::string key, std::string title) {
  return {std::move(key), std::move(title), "", true};
}

// Every size that the scale makes in whole steps, run by run.
std::vector<Size> whole_sizes(const Scale& scale) {
  std::vector<Size> all;
  for (const ScaleRun& run : scale.runs) {
    for (std::int64_t i = 0;; ++i) {
      const auto size = scale.at(run.first_position + i);
      if (!size || (size->position - run.first_position) * run.label_step + run.first_label > run.last_label)
        break;
      all.push_back(*size);
    }
  }
  std::sort(all.begin(), all.end(), [](const Size& a, const Size& b) { return a.position < b.position; });
  const auto same = [](const Size& a, const Size& b) { return a.position == b.position; };
  all.erase(std::unique(all.begin(), all.end(), same), all.end());
  return all;
}

Listing ladder_table(const Ladder& ladder) {
  Listing table{
      ladder.key, ladder.title, {{"step", "step", "", false}, text_column("width", "width")}, {}, {}};
  for (std::size_t i = 0; i < ladder.labels.size(); ++i) {
    table.rows.push_back(
        {exact_figure(ladder.at(i).position, ladder.positions.empty() ? 0 : 2), ladder.labels[i]});
  }
  add_notes(table, ladder.source, ladder.notes);
  return table;
}

Result<Listing> ruled_table(const ReferenceTables& tables, std::string_view key) {
  const auto ruled = tables.find_ruled(key);
  if (!ruled) return ruled.problem();
  const auto scale = tables.find_scale(ruled->scale);
  if (!scale) return scale.problem();
  std::vector<Width> widths{ruled->table.base().at.width};
  if (!ruled->ladder.empty()) {
    const auto ladder = tables.find_ladder(ruled->ladder);
    if (!ladder) return ladder.problem();
    widths.clear();
    for (const std::string& label : ladder->labels) widths.push_back(*ladder->width(label));
  }
  Listing table{ruled->key,
                fmt::format("{} ({})", ruled->title, name_of(ruled->of)),
                {text_column("size", "size")},
                {},
                {}};
  for (const Measure& measure : ruled->table.measures()) {
    for (const Width& width : widths) {
      const std::string name = measure.name + (width.label.empty() ? "" : " " + width.label);
      table.columns.push_back({name, name, "mm", false});
    }
  }
  std::vector<std::string> remarks;
  for (const Size& size : whole_sizes(*scale)) {
    std::vector<ListingCell> row{size.label};
    std::string& remark = remarks.emplace_back();
    for (std::size_t i = 0; i < ruled->table.size(); ++i) {
      if (ruled->carried_on(i, size.position))
        remark += (remark.empty() ? "" : ", ") + ruled->table.measures()[i].name;
      for (const Width& width : widths) row.push_back(millimetre_cell(ruled->table.exact(i, {size, width})));
    }
    if (!remark.empty()) remark += " by the rule carried on";
    table.rows.push_back(std::move(row));
  }
  add_remarks(table, std::move(remarks));
  for (const Measure& measure : ruled->table.measures()) {
    table.notes.push_back(fmt::format("{}: {} a size, {} a width; {}", measure.name, measure.per_size.written,
                                      measure.per_width.written, source_line(measure.source)));
  }
  add_notes(table, ruled->source, ruled->notes);
  return table;
}

Result<Listing> printed_table(const ReferenceTables& tables, std::string_view key) {
  const auto printed = tables.find_printed(key);
  if (!printed) return printed.problem();
  Listing table{printed->key,
                fmt::format("{} ({})", printed->title, name_of(printed->of)),
                {text_column("size", "size"),
                 text_column("width", "width"),
                 text_column("measure", "measure"),
                 {"printed", "printed", printed->unit, false},
                 {"mm", "value", "mm", false},
                 text_column("doubt", "no evidence because")},
                {},
                {}};
  for (const PrintedCell& cell : printed->cells) {
    table.rows.push_back({cell.size.label, cell.width ? cell.width->label : std::string(), cell.measure,
                          cell.printed, millimetre_cell(cell.millimetres), cell.not_evidence});
  }
  add_notes(table, printed->source, printed->notes);
  return table;
}

Result<Listing> marking_table(const ReferenceTables& tables, std::string_view key) {
  const auto marking = tables.find_marking(key);
  if (!marking) return marking.problem();
  Listing table{marking->key, marking->title, {text_column("size", marking->scale)}, {}, {}};
  for (const std::string& column : marking->columns) table.columns.push_back(text_column(column, column));
  std::vector<std::string> remarks;
  std::vector<std::size_t> printed(marking->columns.size(), 0);
  for (const auto& row : marking->rows) {
    std::vector<ListingCell> cells{row.size};
    cells.insert(cells.end(), row.labels.begin(), row.labels.end());
    table.rows.push_back(std::move(cells));
    std::string& remark = remarks.emplace_back();
    for (std::size_t c = 0; c < printed.size(); ++c) {
      const bool reckoned = c < row.reckoned.size() && row.reckoned[c];
      if (reckoned) remark += (remark.empty() ? "by its rule, not printed: " : ", ") + marking->columns[c];
      printed[c] += !reckoned && !row.labels[c].empty() ? 1 : 0;
    }
  }
  add_remarks(table, std::move(remarks));
  for (std::size_t c = 0; c < printed.size(); ++c) {
    const auto& rule = marking->rules[c];
    if (!rule) continue;
    const bool above = rule->zero.millimetres < 0;
    const Fraction off = above ? -rule->zero.millimetres : rule->zero.millimetres;
    table.notes.push_back(fmt::format(
        "{}: (length {} {} mm) / {}, rounded to {}, half way {}{}", marking->columns[c], above ? "+" : "-",
        to_decimal(off), rule->step.written, to_mixed(rule->round), rule->halves_up ? "up" : "down",
        printed[c] > 0 ? fmt::format("; so are {} printed labels", printed[c]) : std::string()));
  }
  add_notes(table, marking->source, marking->notes);
  return table;
}

Result<Listing> increment_table(const ReferenceTables& tables, std::string_view key) {
  const auto statements = tables.find_increments(key);
  if (!statements) return statements.problem();
  Listing table{std::string(key),
                "Increments",
                {text_column("system", "system"),
                 text_column("measure", "measure"),
                 text_column("per", "per"),
                 text_column("where", "where"),
                 {"value", "value", "", false},
                 {"mm", "value", "mm", false},
                 text_column("provenance", "provenance"),
                 text_column("source", "source"),
                 text_column("conflict", "but")},
                {},
                {}};
  for (const IncrementStatement& one : *statements) {
    table.rows.push_back({one.system, one.measure, one.per, one.where, one.value.written,
                          millimetre_cell(one.value.millimetres), std::string(name_of(one.source.provenance)),
                          one.source.text, one.conflict});
  }
  return table;
}

Result<Listing> limit_table(const ReferenceTables& tables, std::string_view key) {
  const auto limits = tables.find_limits(key);
  if (!limits) return limits.problem();
  Listing table{std::string(key),
                "Limits",
                {text_column("measure", "measure"),
                 text_column("of", "of"),
                 {"below_mm", "below", "mm", false},
                 {"above_mm", "above", "mm", false},
                 text_column("provenance", "provenance"),
                 text_column("source", "source")},
                {},
                {}};
  for (const LimitRow& one : *limits) {
    table.rows.push_back({one.measure,
                          std::string(one.within_pair ? "left against right" : "reading against table"),
                          millimetre_cell(one.below.millimetres), millimetre_cell(one.above.millimetres),
                          std::string(name_of(one.source.provenance)), one.source.text});
  }
  return table;
}

Result<Listing> content(const ReferenceTables& tables, const TableEntry& entry) {
  if (entry.kind == "ladder") {
    const auto ladder = tables.find_ladder(entry.key);
    return ladder ? Result<Listing>(ladder_table(*ladder)) : Result<Listing>(ladder.problem());
  }
  if (entry.kind == "measures") return ruled_table(tables, entry.key);
  if (entry.kind == "printed") return printed_table(tables, entry.key);
  if (entry.kind == "marking") return marking_table(tables, entry.key);
  if (entry.kind == "increments") return increment_table(tables, entry.key);
  if (entry.kind == "limits") return limit_table(tables, entry.key);
  const auto scale = tables.find_scale(entry.key);
  return scale ? Result<Listing>(run_of_scale(*scale, whole_sizes(*scale)))
               : Result<Listing>(scale.problem());
}

}  // namespace

Result<ListingBook> shown_table(const ReferenceTables& tables, std::string_view name) {
  std::vector<TableEntry> found;
  std::vector<std::string> known;
  for (const TableEntry& entry : tables.list()) {
    known.push_back(entry.kind + "-" + entry.key);
    if (known.back() == name) {
      found = {entry};
      break;
    }
    if (entry.key == name) found.push_back(entry);
  }
  if (found.size() == 1) {
    Result<Listing> table = content(tables, found.front());
    if (!table) return table.problem();
    return ListingBook{{}, {}, {*std::move(table)}};
  }
  std::string message = fmt::format("there is no table \"{}\"{}", name, suggestion(name, known));
  if (!found.empty()) {
    message = fmt::format("\"{}\" is the key of several tables; say which:", name);
    for (const TableEntry& entry : found) message += fmt::format(" {}-{}", entry.kind, entry.key);
  }
  return Problem{Trouble::kUsage, std::move(message), {}, {}, {}};
}

}  // namespace lastwright
