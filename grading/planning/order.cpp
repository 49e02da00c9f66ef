#include "grading/planning/order.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>

#include "grading/planning/order_twice.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

std::optional<int> whole_number(std::string_view text, int most) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value < 0 || value > most) return {};
  return value;
}

constexpr int kMostPairs = 1'000'000;      // of one row
constexpr int kMostOrdered = 100'000'000;  // of an order

// A column that holds the pairs of one size and width.
struct RunColumn {
  std::size_t column;
  std::string size;
  std::string width;
};

struct OrderColumns {
  std::map<std::string, std::size_t> named;
  std::vector<RunColumn> run;
  [[nodiscard]] bool has(const char* name) const { return named.count(name) > 0; }
};

const std::vector<std::string>& known_columns() {
  static const std::vector<std::string> known{"style", "size",   "width",      "pairs",
                                              "case",  "period", "assortment", "cases"};
  return known;
}

Problem at_row(const TextTable& table, long line, std::string message) {
  return {Trouble::kBadValue, std::move(message), {table.file, line, {}, {}}, {}, {}};
}

Result<OrderColumns> order_columns(const TextTable& table) {
  OrderColumns columns;
  for (std::size_t i = 0; i < table.header.fields.size(); ++i) {
    const std::string& title = table.header.fields[i];
    const auto& known = known_columns();
    if (std::find(known.begin(), known.end(), title) != known.end()) {
      if (!columns.named.emplace(title, i).second)
        return at_row(table, table.header.line, fmt::format("the column \"{}\" is there twice", title));
      continue;
    }
    const std::size_t space = title.rfind(' ');
    if (space == std::string::npos || space == 0) {
      return at_row(table, table.header.line,
                    fmt::format("there is no column \"{}\"{}; one for the pairs of a size and width is named "
                                "like \"7 F\"",
                                title, suggestion(title, known)));
    }
    columns.run.push_back({i, title.substr(0, space), title.substr(space + 1)});
  }
  const bool single = columns.has("size") && columns.has("width") && columns.has("pairs");
  const bool cases = columns.has("assortment") && columns.has("cases");
  if (!single && !cases && columns.run.empty()) {
    return at_row(table, table.header.line,
                  "an order has the columns size, width and pairs, or assortment and cases, or one for each "
                  "size and width, named like \"7 F\"");
  }
  return columns;
}

class OrderReader {
 public:
  OrderReader(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works,
              const OrderColumns& columns)
      : table_(table), runs_(runs), works_(works), columns_(columns) {
    order_.file = table.file;
  }

  Order read() {
    for (const TextTable::Row& row : table_.rows) {
      std::vector<OrderLine> lines;
      Status taken = take(row, lines);
      const bool whole = taken && row.fault.empty() && !field(row, "assortment").empty();
      if (taken) taken = cases_free(row, lines, whole);
      if (!taken) {
        order_.bad_rows.push_back(taken.problem());
        continue;
      }
      int sum = 0;
      for (const OrderLine& line : lines) sum = std::min(sum + line.pairs, kMostOrdered);
      if (order_.pairs + sum > kMostOrdered) {
        order_.bad_rows.push_back(at_row(
            table_, row.line, fmt::format("with this row the order has more than {} pairs", kMostOrdered)));
        continue;
      }
      for (OrderLine& line : lines) {
        if (!line.case_number.empty()) cases_.emplace(line.case_number, CaseRow{row.line, whole});
        order_.pairs += line.pairs;
        order_.lines.push_back(std::move(line));
      }
    }
    tell_twice(table_, order_);
    tell_alike_cases(order_);
    number_styles_apart(order_);
    tell_periods(order_);
    return std::move(order_);
  }

 private:
  [[nodiscard]] std::string field(const TextTable::Row& row, const char* name) const {
    const auto found = columns_.named.find(name);
    return found == columns_.named.end() ? std::string() : row.fields[found->second];
  }

  // A whole case of an assortment has a number of its own.
  [[nodiscard]] Status cases_free(const TextTable::Row& row, const std::vector<OrderLine>& lines,
                                  bool whole) const {
    for (const OrderLine& line : lines) {
      const auto other = cases_.find(line.case_number);
      if (other == cases_.end() || !(whole || other->second.whole)) continue;
      return at_row(
          table_, row.line,
          fmt::format("case \"{}\" is {} line {}: give this one a number of its own", line.case_number,
                      other->second.whole ? "the case of" : "filled by", other->second.line));
    }
    return Done{};
  }

  Status take(const TextTable::Row& row, std::vector<OrderLine>& lines) {
    if (!row.fault.empty()) return at_row(table_, row.line, row.fault);
    if (row.fields.size() != table_.header.fields.size()) {
      return at_row(table_, row.line,
                    fmt::format("the row has {} fields, the header {}", row.fields.size(),
                                table_.header.fields.size()));
    }
    OrderLine line;
    line.line = row.line;
    line.case_number = field(row, "case");
    line.style = field(row, "style");
    if (line.style.empty() && runs_.size() == 1) line.style = runs_.begin()->first;
    const auto run = runs_.find(line.style);
    if (run == runs_.end()) {
      std::vector<std::string> known;
      for (const auto& [name, unused] : runs_) known.push_back(name);
      return at_row(table_, row.line,
                    line.style.empty() ? std::string("the row names no style")
                                       : fmt::format("there is no style \"{}\"{}", line.style,
                                                     suggestion(line.style, known)));
    }
    if (const std::string period = field(row, "period"); !period.empty()) {
      const std::optional<int> stated = whole_number(period, 1000);
      if (!stated || *stated < 1)
        return at_row(table_, row.line, fmt::format("a period is a whole number from 1, not \"{}\"", period));
      line.period = *stated;
    }
    return pairs_of(row, run->second, line, lines);
  }

  // What a row states beside its assortment, or beside its pairs, would be in no figure.
  [[nodiscard]] Status asks_once(const TextTable::Row& row) const {
    std::string beside;
    const auto stated = [&](const std::string& title, const std::string& text) {
      if (!text.empty()) beside += fmt::format("{}{} \"{}\"", beside.empty() ? "" : ", ", title, text);
    };
    const bool cases = !field(row, "assortment").empty();
    if (cases) {
      for (const char* name : {"size", "width", "pairs"}) stated(name, field(row, name));
      for (const RunColumn& column : columns_.run)
        stated(column.size + " " + column.width, row.fields[column.column]);
    } else {
      stated("cases", field(row, "cases"));
      if (field(row, "pairs").empty()) {
        for (const char* name : {"size", "width"}) stated(name, field(row, name));
      }
    }
    if (beside.empty()) return Done{};
    if (cases) {
      return at_row(
          table_, row.line,
          fmt::format("the row orders cases of an assortment, and states {} as well: give each a row "
                      "of its own",
                      beside));
    }
    return at_row(table_, row.line,
                  fmt::format("the row states {}, and no {}", beside,
                              field(row, "cases").empty() ? "pairs" : "assortment"));
  }

  // What the row asks for: one size and width, cases, or a run of columns.
  Status pairs_of(const TextTable::Row& row, const SizeRun& run, const OrderLine& line,
                  std::vector<OrderLine>& lines) {
    if (Status once = asks_once(row); !once) return once;
    const std::string assortment = field(row, "assortment");
    if (!assortment.empty()) {
      const auto found = works_.assortments.find(assortment);
      if (found == works_.assortments.end()) {
        std::vector<std::string> known;
        for (const auto& [name, unused] : works_.assortments) known.push_back(name);
        return at_row(
            table_, row.line,
            fmt::format("there is no assortment \"{}\"{}", assortment, suggestion(assortment, known)));
      }
      constexpr int kMostCases = 10'000;
      const std::optional<int> cases = whole_number(field(row, "cases"), kMostCases);
      if (!cases || *cases < 1) {
        return at_row(
            table_, row.line,
            fmt::format("cases is a whole number from 1 to {}, not \"{}\"", kMostCases, field(row, "cases")));
      }
      // Each case by itself: "regular 1", "regular 2" ..., or by the number that the row gives.
      const std::string name = line.case_number.empty() ? assortment : line.case_number;
      for (int k = 0; k < *cases; ++k) {
        OrderLine in_case = line;
        if (*cases > 1 || line.case_number.empty())
          in_case.case_number = fmt::format("{} {}", name, ++numbered_[name]);
        for (const CaseContent& content : found->second) {
          if (Status one = add(row, run, in_case, content.size, content.width, content.pairs, lines); !one)
            return one;
        }
      }
      return Done{};
    }
    if (columns_.has("pairs") && !field(row, "pairs").empty()) {
      const std::optional<int> pairs = whole_number(field(row, "pairs"), kMostPairs);
      if (!pairs || *pairs < 1) {
        return at_row(
            table_, row.line,
            fmt::format("pairs is a whole number from 1 to {}, not \"{}\"", kMostPairs, field(row, "pairs")));
      }
      if (Status one = add(row, run, line, field(row, "size"), field(row, "width"), *pairs, lines); !one)
        return one;
    }
    for (const RunColumn& column : columns_.run) {
      const std::string& text = row.fields[column.column];
      if (text.empty()) continue;
      const std::optional<int> pairs = whole_number(text, kMostPairs);
      if (!pairs) {
        return at_row(
            table_, row.line,
            fmt::format("pairs of {} {} is a whole number, not \"{}\"", column.size, column.width, text));
      }
      if (*pairs == 0) continue;
      if (Status one = add(row, run, line, column.size, column.width, *pairs, lines); !one) return one;
    }
    if (lines.empty()) return at_row(table_, row.line, "the row orders no pairs");
    return Done{};
  }

  // Where the steps change, the ends of a run do not tell what lies between.
  static std::string sizes_listed(const SizeRun& run) {
    constexpr std::size_t kMostListed = 40;
    if (run.sizes.size() > kMostListed) return "";
    std::string list;
    for (const Size& one : run.sizes) list += (list.empty() ? " (" : ", ") + one.label;
    return list + ")";
  }

  Status add(const TextTable::Row& row, const SizeRun& run, OrderLine line, const std::string& size,
             const std::string& width, int pairs, std::vector<OrderLine>& lines) const {
    const auto made = [&](const auto& list, const std::string& label) {
      return std::find_if(list.begin(), list.end(),
                          [&](const auto& one) { return same_label(one.label, label); });
    };
    const auto of_size = made(run.sizes, size);
    if (of_size == run.sizes.end()) {
      return at_row(table_, row.line,
                    fmt::format("{} is not made in size \"{}\": its sizes run from {} to {}{}", line.style,
                                size, run.sizes.front().label, run.sizes.back().label, sizes_listed(run)));
    }
    const auto of_width = made(run.widths, width);
    if (of_width == run.widths.end()) {
      std::string widths;
      for (const Width& one : run.widths) widths += (widths.empty() ? "" : ", ") + one.label;
      return at_row(
          table_, row.line,
          fmt::format("{} is not made in width \"{}\": its widths are {}", line.style, width, widths));
    }
    const auto size_at = static_cast<std::size_t>(of_size - run.sizes.begin());
    if (!run.makes(size_at, static_cast<std::size_t>(of_width - run.widths.begin()))) {
      return at_row(table_, row.line,
                    fmt::format("{} is not made in {} {}: size {} is made in {}", line.style, of_size->label,
                                of_width->label, of_size->label, run.widths_of(size_at)));
    }
    line.size = of_size->label;
    line.width = of_width->label;
    line.pairs = pairs;
    lines.push_back(std::move(line));
    return Done{};
  }

  const TextTable& table_;
  const OrderedRuns& runs_;
  const WorksSpec& works_;
  const OrderColumns& columns_;
  struct CaseRow {
    long line = 0;
    bool whole = false;  // of an assortment
  };
  std::map<std::string, int> numbered_;   // cases of each name so far
  std::map<std::string, CaseRow> cases_;  // by number, the first row of each
  Order order_;
};

}  // namespace

Result<Order> read_order(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works) {
  const Result<OrderColumns> columns = order_columns(table);
  if (!columns) return columns.problem();
  return OrderReader(table, runs, works, *columns).read();
}

}  // namespace lastwright
