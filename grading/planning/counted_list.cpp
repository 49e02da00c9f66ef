#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "grading/planning/headings.hpp"
#include "grading/planning/tickets.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

class CountedReader {
 public:
  CountedReader(const TextTable& table, const std::vector<OrderedStyle>& styles, const Order& order)
      : table_(table), styles_(styles) {
    for (const OrderedStyle& style : styles) names_.push_back(style.name);
    for (const OrderLine& line : order.lines) ordered_[line.style].insert({line.size, line.width});
  }

  CountedList read() {
    if (!take_columns()) return std::move(list_);
    for (const TextTable::Row& row : table_.rows) take(row);
    return std::move(list_);
  }

 private:
  using SizesAndWidths = std::set<std::pair<std::string, std::string>>;

  void bad(long line, std::string message) {
    list_.problems.push_back({Trouble::kBadValue, std::move(message), {table_.file, line, {}, {}}, {}, {}});
  }

  bool take_columns() {
    const std::vector<std::string> known{"style", "piece", "size", "width", "count"};
    const long line = table_.header.line;
    const std::string sought = sought_words(table_);
    for (const TextTable::Row::Date& date : table_.header.dates) bad(line, date.fault);
    std::vector<std::size_t> unknown;
    for (std::size_t i = 0; i < table_.header.fields.size(); ++i) {
      const std::string plain = plain_heading(table_.header.fields[i]);
      if (std::find(known.begin(), known.end(), plain) != known.end()) {
        if (!columns_.emplace(plain, i).second)
          bad(line, sought + fmt::format("the column \"{}\" is there twice", plain));
      } else if (nearest_name(plain, known)) {
        bad(line, sought + fmt::format("there is no column \"{}\"{}", table_.header.fields[i],
                                       suggestion(plain, known)));
      } else {
        unknown.push_back(i);
      }
    }
    for (const char* wanted : {"piece", "size", "width", "count"}) {
      if (columns_.count(wanted) > 0) continue;
      bad(line,
          sought + fmt::format("the column \"{}\" is missing; the table has piece, size, width, count{}",
                               wanted,
                               styles_.size() > 1 ? " and, the order having several styles, style"
                                                  : ", and style if you like"));
    }
    for (Problem& sheet : unread_sheets(table_)) list_.problems.push_back(std::move(sheet));
    list_.told = unread_of(table_, unknown);
    return list_.problems.empty();
  }

  void take(const TextTable::Row& row) {
    if (!row.fault.empty()) return bad(row.line, row.fault);
    if (row.fields.size() != table_.header.fields.size())
      return bad(row.line, "the row has not as many fields as the header");
    const std::size_t before = list_.problems.size();
    for (const TextTable::Row::Date& date : row.dates) {
      if (std::any_of(columns_.begin(), columns_.end(),
                      [&](const auto& column) { return column.second == date.column; }))
        bad(row.line, date.fault);
    }
    const auto field = [&](const char* name) { return row.fields[columns_.at(name)]; };
    std::string style = columns_.count("style") > 0 ? field("style") : std::string();
    if (style.empty() && styles_.size() == 1) style = styles_.front().name;
    const auto found = std::find(names_.begin(), names_.end(), style);
    if (found == names_.end())
      bad(row.line, style.empty()
                        ? std::string("the order has several styles: name one in a column \"style\"")
                        : fmt::format("the order has no style \"{}\"{}", style, suggestion(style, names_)));
    const std::string number = field("count");
    int count = -1;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), count);
    if (error != std::errc() || end != number.data() + number.size() || count < 0)
      bad(row.line, fmt::format("a count is a whole number from 0, not \"{}\"", number));
    if (found == names_.end()) return;
    const std::string piece = field("piece");
    std::vector<std::string> pieces;
    for (const PieceSpec& one : styles_[static_cast<std::size_t>(found - names_.begin())].spec->pieces)
      pieces.push_back(one.name);
    if (std::find(pieces.begin(), pieces.end(), piece) == pieces.end())
      bad(row.line, fmt::format("{} has no piece \"{}\"{}", style, piece, suggestion(piece, pieces)));
    const SizesAndWidths& ordered = ordered_[style];
    const auto at = std::find_if(ordered.begin(), ordered.end(), [&](const auto& one) {
      return same_label(one.first, field("size")) && same_label(one.second, field("width"));
    });
    if (at == ordered.end())
      bad(row.line, fmt::format("the order has no {} {} of {}", field("size"), field("width"), style));
    if (list_.problems.size() > before) return;
    int& sum = list_.pieces[{style, piece, at->first, at->second}];
    constexpr int kMost = 100'000'000;
    if (count > kMost - sum)
      return bad(row.line, fmt::format("more than {} of one piece are counted", kMost));
    sum += count;
  }

  const TextTable& table_;
  const std::vector<OrderedStyle>& styles_;
  std::vector<std::string> names_;
  std::map<std::string, SizesAndWidths> ordered_;  // by style
  std::map<std::string, std::size_t> columns_;
  CountedList list_;
};

}  // namespace

CountedList read_counted(const TextTable& table, const std::vector<OrderedStyle>& styles,
                         const Order& order) {
  return CountedReader(table, styles, order).read();
}

}  // namespace lastwright
