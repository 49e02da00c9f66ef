#include "cli/report/die_punch_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <set>
#include <utility>

#include "cli/report/die_cells.hpp"
#include "cli/report/die_notes.hpp"
#include "grading/dies/die_punches.hpp"

namespace lastwright {

namespace {

// "D0001 to D0003, D0007"
std::string number_ranges(const std::vector<std::string>& numbers, const DieOrder& order) {
  std::vector<std::size_t> lines;
  for (std::size_t k = 0; k < order.lines.size(); ++k) {
    if (std::find(numbers.begin(), numbers.end(), order.lines[k].number) != numbers.end()) lines.push_back(k);
  }
  std::string text;
  for (std::size_t i = 0; i < lines.size();) {
    std::size_t end = i;
    while (end + 1 < lines.size() && lines[end + 1] == lines[end] + 1) ++end;
    text += (text.empty() ? "" : ", ") + order.lines[lines[i]].number;
    if (end > i) text += (end == i + 1 ? ", " : " to ") + order.lines[lines[end]].number;
    i = end + 1;
  }
  return text;
}

}  // namespace

Table die_punches_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "punches";
  table.filter = true;
  table.columns = {{"piece", 20, 0},        {"punch", 26, 0},          {"on a die", 10, 0},
                   {"dies to make", 12, 0}, {"punches in all", 14, 0}, {"dies", 40, 0}};
  for (const PunchUse& one : punches_used(order, plan)) {
    table.rows.push_back({text_cell(one.piece), text_cell(one.punch), whole_cell(one.on_a_die),
                          whole_cell(one.dies), whole_cell(std::int64_t{one.on_a_die} * one.dies),
                          text_cell(number_ranges(one.numbers, order))});
  }
  return with_checks(std::move(table), order);
}

Table short_punches_table(const DieOrder& order, const DiePlan& plan) {
  struct Short {
    std::string punch;
    std::string pieces;
    std::string last_piece;
    std::int64_t all = 0;
    std::set<std::string> special;  // ones that differ
  };
  std::vector<Short> rows;
  for (const PunchUse& one : punches_used(order, plan)) {
    auto row = std::find_if(rows.begin(), rows.end(), [&](const Short& s) {
      return one.special ? !s.special.empty() && s.last_piece == one.piece : s.punch == one.punch;
    });
    if (row == rows.end()) row = rows.insert(rows.end(), {one.punch, "", "", 0, {}});
    if (row->last_piece != one.piece) row->pieces += (row->pieces.empty() ? "" : ", ") + one.piece;
    row->last_piece = one.piece;
    row->all += std::int64_t{one.on_a_die} * one.dies;
    if (one.special) row->special.insert(one.punch);
  }
  Table table;
  table.name = "punches";
  table.columns = {{"punch", 26, 0}, {"pieces", 40, 0}, {"punches in all", 14, 0}};
  for (const Short& row : rows) {
    table.rows.push_back(
        {text_cell(row.special.size() > 1 ? fmt::format("special, {} different", row.special.size())
                                          : row.punch),
         text_cell(row.pieces), whole_cell(row.all)});
  }
  return table;
}

}  // namespace lastwright
