#include "grading/planning/order_twice.hpp"

#include <fmt/format.h>

#include <set>
#include <tuple>

#include "grading/sizes/small_letters.hpp"

namespace lastwright {

namespace {

Problem told_at(const Order& order, long line, std::string message) {
  return {Trouble::kBadValue, std::move(message), {order.file, line, {}, {}}, {}, {}};
}

using Ordered = std::tuple<std::string, std::string, std::string, std::string, int, std::string>;

Ordered ordered_by(const OrderLine& line) {
  return {line.style, line.size, line.width, line.case_number, line.period, line.due};
}

}  // namespace

void tell_twice(const TextTable& table, Order& order) {
  std::set<long> taken;
  for (const OrderLine& line : order.lines) taken.insert(line.line);
  std::map<std::vector<std::string>, long> seen;
  std::map<long, long> same;  // row to the row before that it is the same as
  for (const TextTable::Row& row : table.rows) {
    if (taken.count(row.line) == 0) continue;
    const auto [first, is_new] = seen.emplace(row.fields, row.line);
    if (!is_new) same.emplace(row.line, first->second);
  }
  std::map<Ordered, long> before;
  std::map<std::pair<long, long>, std::vector<std::string>> again;  // row and the one before: what both order
  std::map<long, std::set<std::string>> within;  // row: what it orders more than once by itself
  std::set<std::pair<Ordered, long>> of_row;
  for (const OrderLine& line : order.lines) {
    const auto [first, is_new] = before.emplace(ordered_by(line), line.line);
    if (!of_row.emplace(ordered_by(line), line.line).second) {
      within[line.line].insert(line.size + " " + line.width);
      continue;
    }
    if (is_new || first->second == line.line || same.count(line.line) > 0) continue;
    again[{line.line, first->second}].push_back(line.size + " " + line.width);
  }
  std::map<long, std::vector<std::string>> told;
  for (const auto& [line, first] : same)
    told[line].push_back(
        fmt::format("the row is the same as that in line {}: its pairs are counted twice", first));
  for (const auto& [rows, what] : again)
    told[rows.first].push_back(
        fmt::format("the row orders {} of the same style, case, period and date as line {}: the pairs of "
                    "both are counted",
                    fmt::join(what, ", "), rows.second));
  for (const auto& [line, what] : within)
    told[line].push_back(fmt::format(
        "the row orders {} more than once, by its columns or by its assortment: all of these pairs "
        "are counted",
        fmt::join(what, ", ")));
  for (const auto& [line, words] : told) {
    for (const std::string& one : words) order.told.push_back(told_at(order, line, one));
  }
}

std::string stated_apart(const std::vector<OrderLine>& lines) {
  std::map<std::pair<std::string, std::string>, std::vector<int>> stated;
  for (const OrderLine& line : lines) stated[{line.size, line.width}].push_back(line.pairs);
  std::vector<std::string> apart;
  for (const auto& [at, pairs] : stated) {
    if (std::set<int>(pairs.begin(), pairs.end()).size() > 1)
      apart.push_back(fmt::format("{} {} more than once and not alike (pairs: {})", at.first, at.second,
                                  fmt::join(pairs, ", ")));
  }
  if (apart.empty()) return "";
  return fmt::format("{}: one of these or their sum may be meant; state each size and width once",
                     fmt::join(apart, ", "));
}

std::string bare_number(std::string number) {
  std::erase(number, ' ');
  const auto digit = [](char c) { return c >= '0' && c <= '9'; };
  std::string bare;
  for (std::size_t i = 0; i < number.size(); ++i) {
    const std::size_t before = bare.size();
    const bool begins = before == 0 || !digit(bare[before - 1]);
    const bool decimal =
        before > 1 && (bare[before - 1] == '.' || bare[before - 1] == ',') && digit(bare[before - 2]);
    const bool leads = number[i] == '0' && i + 1 < number.size() && digit(number[i + 1]);
    if (!begins || decimal || !leads) bare += number[i];
  }
  return small_letters(std::move(bare));
}

void tell_alike_cases(Order& order) {
  std::map<std::string, OrderLine> first;
  std::set<std::string> told;
  for (const OrderLine& line : order.lines) {
    if (line.case_number.empty()) continue;
    const auto [found, is_new] = first.emplace(bare_number(line.case_number), line);
    if (is_new || found->second.case_number == line.case_number || !told.insert(line.case_number).second)
      continue;
    order.told.push_back(
        told_at(order, line.line,
                fmt::format("case \"{}\" is another than \"{}\" in line {}: they differ in capitals, blanks "
                            "or leading zeros only",
                            line.case_number, found->second.case_number, found->second.line)));
  }
}

void tell_periods(Order& order) {
  struct Periods {
    std::set<int> all;
    long line = 0;
  };
  std::map<std::string, Periods> cases;
  for (const OrderLine& line : order.lines) {
    if (line.case_number.empty()) continue;
    Periods& periods = cases[line.case_number];
    if (periods.all.empty()) periods.line = line.line;
    periods.all.insert(line.period);
  }
  for (const auto& [number, periods] : cases) {
    if (periods.all.size() < 2) continue;
    std::vector<std::string> words;
    for (const int period : periods.all) words.push_back(period == 0 ? "none" : fmt::format("{}", period));
    order.told.push_back(
        told_at(order, periods.line,
                fmt::format("case \"{}\" has pairs of several periods: {}; each pair is planned in its own, "
                            "and the case's carton in the first",
                            number, fmt::join(words, ", "))));
  }
}

void number_styles_apart(Order& order) {
  std::map<std::string, std::set<std::string>> styles;
  std::set<std::string> numbers;
  for (const OrderLine& line : order.lines) {
    if (line.case_number.empty()) continue;
    styles[line.case_number].insert(line.style);
    numbers.insert(line.case_number);
  }
  std::map<std::pair<std::string, std::string>, std::string> apart;  // by case and style
  std::map<std::string, long> first;
  for (OrderLine& line : order.lines) {
    const auto found = styles.find(line.case_number);
    if (found == styles.end() || found->second.size() < 2) continue;
    first.emplace(line.case_number, line.line);
    std::string& number = apart[{line.case_number, line.style}];
    if (number.empty()) {
      number = line.case_number + " " + line.style;
      while (!numbers.insert(number).second) number += "'";
    }
    line.case_number = number;
  }
  for (const auto& [number, line] : first) {
    std::vector<std::string> names;
    for (const std::string& style : styles.at(number)) names.push_back(apart.at({number, style}));
    order.told.push_back(
        told_at(order, line,
                fmt::format("case \"{}\" has pairs of several styles; there is one for each: {}", number,
                            fmt::join(names, ", "))));
  }
}

}  // namespace lastwright
