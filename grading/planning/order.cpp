#include "grading/planning/order.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <set>
#include <tuple>

#include "grading/planning/calendar.hpp"
#include "grading/planning/headings.hpp"
#include "grading/planning/order_columns.hpp"
#include "grading/planning/order_twice.hpp"
#include "grading/planning/works_calendar.hpp"
#include "grading/sizes/step_named.hpp"
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
constexpr int kMostPeriods = 1000;

Problem at_row(const TextTable& table, long line, std::string message) {
  return {Trouble::kBadValue, std::move(message), {table.file, line, {}, {}}, {}, {}};
}

class OrderReader {
 public:
  OrderReader(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works,
              const OrderColumns& columns)
      : table_(table), runs_(runs), works_(works), columns_(columns) {
    order_.file = table.file;
    if (works.calendar && columns.has("due")) periods_ = periods_from(*works.calendar, kMostPeriods);
    for (const TextTable::Row& row : table.rows) {
      if (row.fields.size() != table.header.fields.size()) continue;
      if (const std::string number = field(row, "case"); !number.empty()) given_.insert(bare_number(number));
    }
  }

  Order read() {
    for (const TextTable::Row& row : table_.rows) {
      std::vector<OrderLine> lines;
      bad_.clear();
      take(row, lines);
      const bool whole = bad_.empty() && !field(row, "assortment").empty();
      if (bad_.empty()) cases_free(lines, whole);
      if (!bad_.empty()) {
        for (std::string& message : bad_)
          order_.bad_rows.push_back(at_row(table_, row.line, std::move(message)));
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
    for (Problem& sheet : unread_sheets(table_)) order_.bad_rows.push_back(std::move(sheet));
    order_.told = unread_of(table_, columns_.unknown, columns_.meant);
    name_order();
    share_dates();
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

  // The rows that are understood say which order they are of; several are planned together.
  void name_order() {
    std::set<long> taken;
    for (const OrderLine& line : order_.lines) taken.insert(line.line);
    std::vector<std::string>& names = order_.names;
    for (const TextTable::Row& row : table_.rows) {
      if (taken.count(row.line) == 0) continue;
      const std::string name = field(row, "order");
      if (!name.empty() && std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    }
    if (names.size() == 1) order_.name = names.front();
    if (names.size() > 1)
      order_.told.push_back(at_row(table_, table_.header.line,
                                   fmt::format("there are rows of {} orders, planned together: {}",
                                               names.size(), fmt::join(names, ", "))));
  }

  void bad(std::string message) { bad_.push_back(std::move(message)); }

  // A whole case of an assortment has a number of its own.
  void cases_free(const std::vector<OrderLine>& lines, bool whole) {
    std::set<std::string> told;
    for (const OrderLine& line : lines) {
      const auto other = cases_.find(line.case_number);
      if (other == cases_.end() || !(whole || other->second.whole) || !told.insert(line.case_number).second)
        continue;
      bad(fmt::format("case \"{}\" is {} line {}: give this one a number of its own", line.case_number,
                      other->second.whole ? "the case of" : "filled by", other->second.line));
    }
  }

  // All that is wrong with a row, cell by cell.
  void take(const TextTable::Row& row, std::vector<OrderLine>& lines) {
    if (!row.fault.empty()) return bad(row.fault);
    if (row.fields.size() != table_.header.fields.size())
      return bad(fmt::format("the row has {} fields, the header {}", row.fields.size(),
                             table_.header.fields.size()));
    const auto due = columns_.named.find("due");
    for (const TextTable::Row::Date& date : row.dates) {
      const bool unread =
          std::find(columns_.unknown.begin(), columns_.unknown.end(), date.column) != columns_.unknown.end();
      if (!unread && (due == columns_.named.end() || date.column != due->second)) bad(date.fault);
    }
    if (!bad_.empty()) return;  // what else such a row says is not what its author wrote
    OrderLine line;
    line.line = row.line;
    line.case_number = field(row, "case");
    line.style = field(row, "style");
    if (line.style.empty() && runs_.size() == 1) line.style = runs_.begin()->first;
    const auto run = runs_.find(line.style);
    if (run == runs_.end()) {
      std::vector<std::string> known;
      for (const auto& [name, unused] : runs_) known.push_back(name);
      bad(line.style.empty()
              ? std::string("the row names no style")
              : fmt::format("there is no style \"{}\"{}", line.style, suggestion(line.style, known)));
    }
    take_period(row, line);
    pairs_of(row, run == runs_.end() ? nullptr : &run->second, line, lines);
  }

  void take_period(const TextTable::Row& row, OrderLine& line) {
    if (const std::string period = field(row, "period"); !period.empty()) {
      const std::optional<int> stated = whole_number(period, kMostPeriods);
      if (!stated || *stated < 1)
        return bad(fmt::format("a period is a whole number from 1 to {}, not \"{}\"", kMostPeriods, period));
      line.period = *stated;
    }
    const std::string due = field(row, "due");
    if (due.empty()) return;
    const std::optional<long> day = day_number(due);
    if (!day) return bad(fmt::format("a due date is a day written like 2031-04-17, not \"{}\"", due));
    const int period = period_of_day(periods_, *day);
    if (period != 0 && line.period != 0 && line.period != period)
      return bad(
          fmt::format("due {} lies in period {}, and the row states period {}", due, period, line.period));
    if (period != 0) line.period = period;
    line.due = due;
    // The pairs are ordered all the same.
    if (!works_.calendar) {
      tell_day(
          row, "",
          "due dates are stated, and the works file has no calendar that says in which periods they lie");
    } else if (period == 0) {
      const bool early = !periods_.empty() && *day < periods_.front();
      tell_day(row, due,
               early
                   ? fmt::format("due {} is too early: it lies in no period, the works' calendar begins on "
                                 "{}; its pairs are ordered and in no date",
                                 due, works_.calendar->first)
                   : fmt::format("due {} is too late: it lies in no period, {} periods are counted from {}; "
                                 "its pairs are ordered and in no date",
                                 due, kMostPeriods, works_.calendar->first));
    } else if (!works_on(*works_.calendar, *day)) {
      tell_day(row, due, fmt::format("due {}: by the calendar the works does not work on this day", due));
    }
  }

  // Of each day once.
  void tell_day(const TextTable::Row& row, const std::string& day, std::string message) {
    if (told_days_.insert(day).second) told_of_days_.push_back(at_row(table_, row.line, std::move(message)));
  }

  // What one row of a numbered case says of its date holds for those that say nothing.
  void share_dates() {
    order_.told.insert(order_.told.end(), told_of_days_.begin(), told_of_days_.end());
    const auto says = [](const OrderLine& line) { return line.period != 0 || !line.due.empty(); };
    std::map<std::string, std::set<std::pair<int, std::string>>> stated;
    for (const OrderLine& line : order_.lines) {
      if (!line.case_number.empty() && says(line)) stated[line.case_number].insert({line.period, line.due});
    }
    for (OrderLine& line : order_.lines) {
      if (line.case_number.empty() || says(line)) continue;
      const auto found = stated.find(line.case_number);
      if (found == stated.end() || found->second.size() != 1) continue;
      std::tie(line.period, line.due) = *found->second.begin();
    }
  }

  // What a row states beside its assortment, or beside its pairs, would be in no figure.
  bool asks_once(const TextTable::Row& row) {
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
    if (beside.empty()) return true;
    if (cases) {
      bad(
          fmt::format("the row orders cases of an assortment, and states {} as well: give each a row "
                      "of its own",
                      beside));
    } else {
      bad(fmt::format("the row states {}, and no {}", beside,
                      field(row, "cases").empty() ? "pairs" : "assortment"));
    }
    return false;
  }

  // What the row asks for: one size and width, cases, or a run of columns. Without a run, of a style that is
  // not known, only what can be said all the same.
  void pairs_of(const TextTable::Row& row, const SizeRun* run, const OrderLine& line,
                std::vector<OrderLine>& lines) {
    if (!asks_once(row)) return;
    if (!field(row, "assortment").empty()) return cases_of_row(row, run, line, lines);
    if (columns_.has("pairs") && !field(row, "pairs").empty()) {
      const std::optional<int> pairs = whole_number(field(row, "pairs"), kMostPairs);
      if (!pairs || *pairs < 1)
        bad(fmt::format("pairs is a whole number from 1 to {}, not \"{}\"", kMostPairs, field(row, "pairs")));
      add(run, line, field(row, "size"), field(row, "width"), pairs.value_or(1), lines);
    }
    for (const RunColumn& column : columns_.run) {
      const std::string& text = row.fields[column.column];
      if (text.empty()) continue;
      const std::optional<int> pairs = whole_number(text, kMostPairs);
      if (!pairs)
        bad(fmt::format("pairs of {} {} is a whole number, not \"{}\"", column.size, column.width, text));
      const std::size_t faults = bad_.size();
      add(run, line, column.size, run ? width_of(*run, column.width) : column.width, pairs.value_or(1),
          lines);
      if (pairs == 0) bad_.resize(faults);  // of what is not made, none are ordered
    }
    if (const std::string words = stated_apart(lines); bad_.empty() && !words.empty())
      bad("the row states " + words);
    std::erase_if(lines, [](const OrderLine& one) { return one.pairs == 0; });
    if (lines.empty() && bad_.empty()) bad("the row orders no pairs");
  }

  // Of a heading, in which capitals do not matter, where that names one width of the run.
  static std::string width_of(const SizeRun& run, const std::string& heading) {
    std::vector<std::string> alike;
    for (const Width& one : run.widths) {
      if (same_label(one.label, heading)) return heading;
      if (plain_heading(one.label) == plain_heading(heading)) alike.push_back(one.label);
    }
    return alike.size() == 1 ? alike.front() : heading;
  }

  void cases_of_row(const TextTable::Row& row, const SizeRun* run, const OrderLine& line,
                    std::vector<OrderLine>& lines) {
    constexpr int kMostCases = 10'000;
    const std::optional<int> cases = whole_number(field(row, "cases"), kMostCases);
    if (!cases || *cases < 1)
      bad(fmt::format("cases is a whole number from 1 to {}, not \"{}\"", kMostCases, field(row, "cases")));
    const std::string assortment = field(row, "assortment");
    const auto found = works_.assortments.find(assortment);
    if (found == works_.assortments.end()) {
      std::vector<std::string> known;
      for (const auto& [name, unused] : works_.assortments) known.push_back(name);
      return bad(fmt::format("there is no assortment \"{}\"{}", assortment, suggestion(assortment, known)));
    }
    std::vector<OrderLine> content;
    for (const CaseContent& part : found->second) add(run, line, part.size, part.width, part.pairs, content);
    if (const std::string words = stated_apart(content); bad_.empty() && !words.empty())
      bad(fmt::format("the assortment \"{}\" states {}", assortment, words));
    if (!bad_.empty()) return;
    // Each case by itself: "regular 1", "regular 2" ..., or by the number that the row gives. Numbers that
    // the order gives to other cases are passed over.
    const std::string name = line.case_number.empty() ? assortment : line.case_number;
    for (int k = 0; k < *cases; ++k) {
      std::string number = line.case_number;
      if (*cases > 1 || number.empty()) {
        do {
          number = fmt::format("{} {}", name, ++numbered_[name]);
        } while (given_.count(bare_number(number)) > 0);
      }
      for (const OrderLine& part : content) {
        lines.push_back(part);
        lines.back().case_number = number;
        lines.back().assortment = assortment;
      }
    }
  }

  // Where the steps change, the ends of a run do not tell what lies between.
  static std::string sizes_listed(const SizeRun& run) {
    constexpr std::size_t kMostListed = 40;
    if (run.sizes.size() > kMostListed) return "";
    std::string list;
    for (const Size& one : run.sizes) list += (list.empty() ? " (" : ", ") + one.label;
    return list + ")";
  }

  void add(const SizeRun* of, OrderLine line, const std::string& size, const std::string& width, int pairs,
           std::vector<OrderLine>& lines) {
    if (!of) return;
    const SizeRun& run = *of;
    const auto of_size = step_named(run.sizes, size);
    if (of_size == run.sizes.end())
      bad(fmt::format("{} is not made in size \"{}\": its sizes run from {} to {}{}", line.style, size,
                      run.sizes.front().label, run.sizes.back().label, sizes_listed(run)));
    const auto of_width = step_named(run.widths, width);
    if (of_width == run.widths.end()) {
      std::string widths;
      for (const Width& one : run.widths) widths += (widths.empty() ? "" : ", ") + one.label;
      bad(fmt::format("{} is not made in width \"{}\": its widths are {}", line.style, width, widths));
    }
    if (of_size == run.sizes.end() || of_width == run.widths.end()) return;
    const auto size_at = static_cast<std::size_t>(of_size - run.sizes.begin());
    if (!run.makes(size_at, static_cast<std::size_t>(of_width - run.widths.begin())))
      return bad(fmt::format("{} is not made in {} {}: size {} is made in {}", line.style, of_size->label,
                             of_width->label, of_size->label, run.widths_of(size_at)));
    line.size = of_size->label;
    line.width = of_width->label;
    line.pairs = pairs;
    lines.push_back(std::move(line));
  }

  const TextTable& table_;
  const OrderedRuns& runs_;
  const WorksSpec& works_;
  const OrderColumns& columns_;
  struct CaseRow {
    long line = 0;
    bool whole = false;  // of an assortment
  };
  std::vector<std::string> bad_;  // of the row that is read
  std::vector<long> periods_;     // where the order states dates
  std::vector<Problem> told_of_days_;
  std::set<std::string> told_days_;
  std::set<std::string> given_;           // numbers that rows of the order give, bare
  std::map<std::string, int> numbered_;   // cases of each name so far
  std::map<std::string, CaseRow> cases_;  // by number, the first row of each
  Order order_;
};

}  // namespace

std::size_t Order::rows_left_out() const {
  std::set<long> rows;
  for (const Problem& one : bad_rows) rows.insert(one.place.line);
  return rows.size();
}

Result<Order> read_order(const TextTable& table, const OrderedRuns& runs, const WorksSpec& works) {
  const Result<OrderColumns> columns = order_columns(table);
  if (!columns) return columns.problem();
  return OrderReader(table, runs, works, *columns).read();
}

}  // namespace lastwright
