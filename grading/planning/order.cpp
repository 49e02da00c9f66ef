#include "grading/planning/order.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>

#include "geometry/files/note_line.hpp"
#include "geometry/io/utf8.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

std::string_view without_blanks(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

TextTable::Row split_row(std::string_view line, long number, char between) {
  TextTable::Row row{number, {}, {}};
  std::size_t at = 0;
  while (true) {
    std::string field;
    if (at < line.size() && line[at] == '"') {
      bool closed = false;
      for (++at; at < line.size(); ++at) {
        if (line[at] != '"') {
          field += line[at];
        } else if (at + 1 < line.size() && line[at + 1] == '"') {
          field += line[++at];
        } else {
          closed = true;
          ++at;
          break;
        }
      }
      if (!closed) row.fault = "a quote does not close in its line";
      if (closed && at < line.size() && line[at] != between) row.fault = "something follows a closing quote";
      at = std::min(line.find(between, at), line.size());
    } else {
      const std::size_t end = std::min(line.find(between, at), line.size());
      field = without_blanks(line.substr(at, end - at));
      at = end;
    }
    row.fields.push_back(std::move(field));
    if (at >= line.size()) return row;
    ++at;
  }
}

bool is_utf8(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character character = next_character(text, at);
    if (!character.valid) return false;
    at += character.bytes;
  }
  return true;
}

char parting_of(std::string_view header) {
  for (const char between : {';', '\t'}) {
    if (header.find(between) != std::string_view::npos && header.find(',') == std::string_view::npos)
      return between;
  }
  return ',';
}

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
      if (Status taken = take(row, lines); !taken) {
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
        order_.pairs += line.pairs;
        order_.lines.push_back(std::move(line));
      }
    }
    return std::move(order_);
  }

 private:
  [[nodiscard]] std::string field(const TextTable::Row& row, const char* name) const {
    const auto found = columns_.named.find(name);
    return found == columns_.named.end() ? std::string() : row.fields[found->second];
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
  std::map<std::string, int> numbered_;  // cases of each name so far
  Order order_;
};

}  // namespace

Result<TextTable> parse_csv_table(std::string_view text, const std::string& file,
                                  const TextTableLimits& limits) {
  TextTable table;
  table.file = file;
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  long number = 0;
  char between = ',';
  bool headed = false;
  std::size_t fields = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    std::string_view line = text.substr(0, end);
    text.remove_prefix(std::min(end + 1, text.size()));
    ++number;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (without_blanks(line).empty() || (!headed && line.starts_with('#'))) continue;
    if (!headed) between = parting_of(line);
    TextTable::Row row = split_row(line, number, between);
    if (line.starts_with('#')) {
      if (!may_be_row(row.fields.size(), table.header.fields.size())) continue;
      row.fault = kNoteOrRow;
    }
    if (!is_utf8(line)) row = {number, {}, "the line is not text in UTF-8: save the file so"};
    if (!headed && !row.fault.empty())
      return Problem{Trouble::kSyntax, row.fault, {file, number, {}, {}}, {}, {}};
    fields += row.fields.size();
    const auto too_many = [&](const char* what, std::size_t count, std::size_t limit) {
      return Problem{Trouble::kBudget,
                     fmt::format("the table has more {} than are read", what),
                     {file, number, {}, {}},
                     static_cast<double>(count),
                     static_cast<double>(limit)};
    };
    if (row.fields.size() > limits.columns) return too_many("columns", row.fields.size(), limits.columns);
    if (table.rows.size() >= limits.rows) return too_many("rows", table.rows.size() + 1, limits.rows);
    if (fields > limits.fields) return too_many("fields", fields, limits.fields);
    if (headed) {
      table.rows.push_back(std::move(row));
    } else {
      table.header = std::move(row);
      headed = true;
    }
  }
  if (!headed)
    return Problem{
        Trouble::kSyntax, "the file is empty; its first line names the columns", {file, 0, {}, {}}, {}, {}};
  return table;
}

Result<Order> read_order(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works) {
  const Result<OrderColumns> columns = order_columns(table);
  if (!columns) return columns.problem();
  return OrderReader(table, runs, works, *columns).read();
}

}  // namespace lastwright
