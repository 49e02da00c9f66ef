#include "cli/planning/order_told.hpp"

#include "cli/planning/planning_page.hpp"
#include "cli/planning/works_doubts.hpp"
#include "cli/report/html_table.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

Table bad_row_table(const Order& order) {
  Table table;
  table.name = "rows left out";
  table.columns = {{"line", 6, 0}, {"why", 80, 0}};
  for (const Problem& problem : order.bad_rows)
    table.rows.push_back({{std::int64_t{problem.place.line}}, {problem.message, Emphasis::kBad}});
  return table;
}

Table doubt_table(const Order& order) {
  Table table;
  table.name = "doubts";
  table.columns = {{"what may be a mistake in the order and the works file", 120, 0}};
  for (const std::string& line : doubts_text(order)) table.rows.push_back({{line}});
  return table;
}

}  // namespace

std::vector<Table> told_tables(const Order& order, const FailedStyles& failed) {
  std::vector<Table> tables;
  if (!failed.empty()) tables.push_back(failed_table(failed));
  if (!order.bad_rows.empty()) tables.push_back(bad_row_table(order));
  if (!order.told.empty()) tables.push_back(doubt_table(order));
  return tables;
}

std::string told_boxes(const Order& order, const FailedStyles& failed) {
  std::string html = failed_box(failed);
  if (!order.bad_rows.empty()) {
    html += caution_box("Rows of the order were not understood. They are left out of every figure.");
    html += html_table(bad_row_table(order));
  }
  if (!order.told.empty()) {
    html += caution_box(
        "What may be a mistake in the order and the works file; the figures take it as it stands.");
    html += html_table(doubt_table(order));
  }
  return html;
}

void add_told(Json& json, const Order& order, const FailedStyles& failed) {
  Json left_out = Json::array();
  for (const Problem& problem : order.bad_rows)
    left_out.push_back({{"line", problem.place.line}, {"why", problem.message}});
  json["checks_failed"] = failed_json(failed);
  json["rows_left_out"] = std::move(left_out);
  json["doubts"] = doubts_text(order);
}

std::string shown_material(const std::string& material) {
  return material.empty() ? "(none stated)" : material;
}

}  // namespace lastwright
