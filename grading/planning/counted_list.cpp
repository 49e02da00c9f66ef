#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "grading/planning/headings.hpp"
#include "grading/planning/tickets.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/style/drawn_feet.hpp"

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
    if (table_.rows.empty())
      bad(table_.header.line, "there are headings, and no row below them: nothing is counted");
    for (const TextTable::Row& row : table_.rows) take(row);
    return std::move(list_);
  }

 private:
  using SizesAndWidths = std::set<std::pair<std::string, std::string>>;

  void bad(long line, std::string message) {
    list_.problems.push_back({Trouble::kBadValue, std::move(message), {table_.file, line, {}, {}}, {}, {}});
  }

  bool take_columns() {
    const std::vector<std::string> known{"style", "piece", "size", "width", "count", "hand"};
    const long line = table_.header.line;
    const std::string sought = sought_words(table_);
    for (const TextTable::Row::Date& date : table_.header.dates) bad(line, date.fault);
    std::vector<std::size_t> unknown;
    std::map<std::size_t, std::string> other_words;  // by column, what each may be meant for
    for (std::size_t i = 0; i < table_.header.fields.size(); ++i) {
      const std::string plain = plain_heading(table_.header.fields[i]);
      if (std::find(known.begin(), known.end(), plain) != known.end()) {
        if (!columns_.emplace(plain, i).second)
          bad(line, sought + fmt::format("the column \"{}\" is there twice", plain));
      } else if (std::string meant = meant_in_counted(plain); !meant.empty()) {
        unknown.push_back(i);
        other_words.emplace(i, std::move(meant));
      } else if (nearest_name(plain, known)) {
        bad(line, sought + fmt::format("there is no column \"{}\"{}", table_.header.fields[i],
                                       suggestion(plain, known)));
      } else {
        unknown.push_back(i);
      }
    }
    std::erase_if(other_words, [&](const auto& one) { return columns_.count(one.second) > 0; });
    const auto hint = [&](const std::string& wanted) {
      for (const auto& [column, meant] : other_words) {
        if (meant == wanted)
          return fmt::format("; \"{}\" is not known: call it \"{}\" if it is that",
                             table_.header.fields[column], wanted);
      }
      return std::string();
    };
    for (const char* wanted : {"piece", "size", "width", "count"}) {
      if (columns_.count(wanted) > 0) continue;
      bad(line,
          sought + fmt::format("the column \"{}\" is missing; the table has piece, size, width, count{}{}",
                               wanted,
                               styles_.size() > 1 ? " and, the order having several styles, style"
                                                  : ", and style if you like",
                               hint(wanted)));
    }
    // Left and right added up would hide that one is short.
    if (const std::string hand = hint("hand"); !hand.empty())
      bad(line, sought + "there is no column \"hand\"" + hand);
    for (Problem& sheet : unread_sheets(table_)) list_.problems.push_back(std::move(sheet));
    list_.told = unread_of(table_, unknown, other_words);
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
    const StyleSpec& spec = *styles_[static_cast<std::size_t>(found - names_.begin())].spec;
    std::vector<std::string> pieces;
    for (const PieceSpec& one : spec.pieces) pieces.push_back(one.name);
    const auto of_piece = std::find(pieces.begin(), pieces.end(), piece);
    Foot foot = Foot::kNone;
    if (of_piece == pieces.end()) {
      bad(row.line, fmt::format("{} has no piece \"{}\"{}", style, piece, suggestion(piece, pieces)));
    } else if (columns_.count("hand") > 0) {
      foot = foot_of(row.line, field("hand"), spec,
                     spec.pieces[static_cast<std::size_t>(of_piece - pieces.begin())]);
    }
    const SizesAndWidths& ordered = ordered_[style];
    const auto at = std::find_if(ordered.begin(), ordered.end(), [&](const auto& one) {
      return same_label(one.first, field("size")) && same_label(one.second, field("width"));
    });
    if (at == ordered.end())
      bad(row.line, fmt::format("the order has no {} {} of {}", field("size"), field("width"), style));
    if (list_.problems.size() > before) return;
    CountedNumber& sum = list_.pieces[{style, piece, at->first, at->second}];
    constexpr int kMost = 100'000'000;
    if (count > kMost - sum.all)
      return bad(row.line, fmt::format("more than {} of one piece are counted", kMost));
    sum.all += count;
    if (foot == Foot::kNone) return;
    sum.by_hand = true;
    (foot == Foot::kLeft ? sum.left : sum.right) += count;
  }

  enum class Foot { kNone, kLeft, kRight };

  // Which foot the pieces of a row are for; of one that serves both, none.
  Foot foot_of(long line, const std::string& text, const StyleSpec& style, const PieceSpec& piece) {
    const std::string said = plain_heading(text);
    const bool left = said == "l" || said == "left";
    const bool right = said == "r" || said == "right";
    const bool drawn = said == "as drawn";
    const bool mirrored = said == "mirrored";
    const bool either = said.empty() || said == "either" || said == "both";
    if (!left && !right && !drawn && !mirrored && !either) {
      bad(line, fmt::format("a hand is left or right, not \"{}\"", text));
      return Foot::kNone;
    }
    if (piece.hand != Hand::kHanded) {
      if (!either) tell_no_hand(line, piece.name);
      return Foot::kNone;
    }
    if (either) {
      bad(line, fmt::format("{} is cut left and right, and the row says {}", piece.name,
                            said.empty() ? "no hand" : "\"" + text + "\""));
      return Foot::kNone;
    }
    const std::string drawn_foot = drawn_foot_of(style, piece);
    if (drawn_foot == "both") {
      if (left || right)
        bad(line,
            fmt::format(
                "each shoe takes as many of {} as drawn as mirrored: its rows say as drawn or mirrored, "
                "not left or right",
                piece.name));
      return left || right ? Foot::kNone : drawn ? Foot::kLeft : Foot::kRight;
    }
    // Where as many are left as right, it does not matter which of them the drawings show.
    if (drawn_foot.empty() && (drawn || mirrored || piece.per_pair % 2 != 0)) {
      bad(line, fmt::format("which hand of {} is as drawn is not known: the style says in \"drawn_foot\" "
                            "which foot it is drawn for",
                            piece.name));
      return Foot::kNone;
    }
    const bool is_left = left || (drawn_foot == "left" ? drawn : mirrored);
    return is_left ? Foot::kLeft : Foot::kRight;
  }

  // Of each piece once.
  void tell_no_hand(long line, const std::string& piece) {
    if (!without_hand_.insert(piece).second) return;
    list_.told.push_back({Trouble::kBadValue,
                          fmt::format("{} serves either foot: the hand of its rows counts for nothing, they "
                                      "are added up",
                                      piece),
                          {table_.file, line, {}, {}},
                          {},
                          {}});
  }

  const TextTable& table_;
  const std::vector<OrderedStyle>& styles_;
  std::vector<std::string> names_;
  std::map<std::string, SizesAndWidths> ordered_;  // by style
  std::map<std::string, std::size_t> columns_;
  std::set<std::string> without_hand_;  // pieces of which that was told
  CountedList list_;
};

}  // namespace

CountedList read_counted(const TextTable& table, const std::vector<OrderedStyle>& styles,
                         const Order& order) {
  return CountedReader(table, styles, order).read();
}

}  // namespace lastwright
