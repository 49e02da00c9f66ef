// Marking tables: printed labels, and the straight rules that they are compared with.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/measures/reference_table_json.hpp"

namespace lastwright {
namespace {

Result<MarkingRule> rule_at(const JsonDocument& document, const std::string& pointer) {
  const Result<Quantity> zero = quantity_at(document, pointer_to(pointer, "zero_length"));
  if (!zero) return zero.problem();
  const Result<Quantity> step = quantity_at(document, pointer_to(pointer, "step"));
  if (!step) return step.problem();
  if (step->millimetres <= 0) return document.bad(pointer_to(pointer, "step"), "a step must be above 0");
  const Result<Fraction> round = fraction_at(document, pointer_to(pointer, "round"));
  if (!round) return round.problem();
  if (*round <= 0)
    return document.bad(pointer_to(pointer, "round"), "what labels are rounded to must be above 0");
  const bool halves_up =
      document.root.at(Json::json_pointer(pointer)).value("half_way", std::string("up")) == "up";
  return MarkingRule{*zero, *step, *round, halves_up};
}

// What a rule gives where nothing is printed; what is printed must be what the rule gives.
Status follow_rules(const JsonDocument& document, const std::string& pointer, const MarkingTable& table,
                    Fraction length, MarkingTable::Row& row) {
  row.reckoned.assign(table.columns.size(), false);
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    if (!table.rules[c]) continue;
    const std::string label = to_decimal(table.rules[c]->label(length));
    if (row.labels[c].empty()) {
      row.labels[c] = label;
      row.reckoned[c] = true;
      continue;
    }
    if (row.labels[c] == label) continue;
    return document.bad(
        pointer_to(pointer, c),
        fmt::format("\"{}\" is printed where the column's rule gives {}", row.labels[c], label));
  }
  return Done{};
}

// Sizes that the source does not print, by the rules alone.
Status add_reckoned(const JsonDocument& document, const Scale& scale, const std::set<std::string>& printed,
                    MarkingTable& table) {
  const Json& ends = document.root.at("reckoned");
  const auto sizes =
      scale.run(ends.at("from").get<std::string>(), ends.at("to").get<std::string>(), Fraction(1));
  if (!sizes) return document.bad("/reckoned", sizes.problem().message);
  for (const Size& size : *sizes) {
    if (printed.count(size.label) > 0) continue;
    MarkingTable::Row row{size.label, std::vector<std::string>(table.columns.size()), {}};
    if (Status followed = follow_rules(document, "/reckoned", table, scale.length(size), row); !followed)
      return followed.problem();
    table.rows.push_back(std::move(row));
  }
  std::stable_sort(table.rows.begin(), table.rows.end(), [&](const auto& one, const auto& other) {
    return scale.size(one.size)->position < scale.size(other.size)->position;
  });
  return Done{};
}

}  // namespace

Fraction MarkingRule::label(Fraction length) const {
  const Fraction parts = (length - zero.millimetres) / step.millimetres / round;
  const Fraction half(1, 2);
  return round * (halves_up ? Fraction((parts + half).floor()) : -Fraction((half - parts).floor()));
}

Result<MarkingTable> marking_from(const JsonDocument& document, const Scale& scale) {
  const Json& root = document.root;
  MarkingTable table;
  const TableEntry entry = table_entry(document);
  table.key = entry.key;
  table.title = entry.title;
  table.source = entry.source;
  if (root.contains("notes")) table.notes = root.at("notes").get<std::vector<std::string>>();
  table.scale = scale.key;
  for (std::size_t c = 0; c < root.at("columns").size(); ++c) {
    const Json& column = root.at("columns").at(c);
    table.columns.push_back(column.at("title").get<std::string>());
    table.rules.emplace_back();
    if (!column.contains("rule")) continue;
    const auto rule = rule_at(document, pointer_to(pointer_to("/columns", c), "rule"));
    if (!rule) return rule.problem();
    table.rules.back() = *rule;
  }
  std::set<std::string> seen;
  const Json rows = root.value("rows", Json::array());
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const std::string pointer = pointer_to("/rows", r);
    const Json& node = rows.at(r);
    const Result<Size> size = scale.size(node.at("size").get<std::string>());
    if (!size) return document.bad(pointer_to(pointer, "size"), size.problem().message);
    if (!seen.insert(size->label).second)
      return document.bad(pointer_to(pointer, "size"), "the size is there twice");
    MarkingTable::Row row{size->label, {}, {}};
    for (const Json& value : node.at("values"))
      row.labels.push_back(value.is_null() ? "" : value.get<std::string>());
    if (row.labels.size() != table.columns.size()) {
      return document.bad(
          pointer_to(pointer, "values"),
          fmt::format("{} values where the table has {} columns", row.labels.size(), table.columns.size()));
    }
    if (Status agreed =
            follow_rules(document, pointer_to(pointer, "values"), table, scale.length(*size), row);
        !agreed)
      return agreed.problem();
    table.rows.push_back(std::move(row));
  }
  if (root.contains("reckoned")) {
    if (Status added = add_reckoned(document, scale, seen, table); !added) return added.problem();
  }
  if (table.rows.empty()) return document.bad("/rows", "the table has no row: name sizes under \"reckoned\"");
  return table;
}

}  // namespace lastwright
