// Listings on paper: pages of A4, upright or, where a table is wide, lying.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/listing/listing.hpp"
#include "geometry/io/paper/page_pdf.hpp"
#include "geometry/io/safe_text.hpp"

namespace lastwright {
namespace {

// Millimetres.
constexpr double kShortSide = 210.0;
constexpr double kLongSide = 297.0;
constexpr double kPaperMargin = 12.0;
constexpr double kPrintCapital = 1.9;
constexpr double kLine = 4.0;        // from one line of text to the next
constexpr double kToWrite = 3.2;     // more of it where a row is to be written in
constexpr double kToWriteIn = 22.0;  // the width of a column for it
constexpr double kColumnGap = 2.0;   // columns
// Of the font's digits (1,303 of 2,048 units wide, capitals
// 1,493 high); its letters are hardly wider on average.
constexpr double kSign = kPrintCapital * 1303.0 / 1493.0;
constexpr std::size_t kWidest = 70;  // signs of a column that is not broken into lines
constexpr double kFewest = 14.0;     // signs that a column of words is left with

std::size_t signs(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

// At blanks where there are any.
std::vector<std::string> broken(const std::string& text, double width) {
  const auto most = static_cast<std::size_t>(std::max(4.0, width / kSign));
  std::vector<std::string> lines(1);
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    if (!lines.back().empty() && signs(lines.back()) + 1 + signs(word) > most) lines.emplace_back();
    lines.back() += (lines.back().empty() ? "" : " ") + word;
    at = end + 1;
  }
  return lines;
}

std::string heading_of(const ListingColumn& column) {
  return column.unit.empty() ? column.title : column.title + " " + column.unit;
}

double natural_width(const Listing& table, std::size_t column) {
  std::size_t most = 6;
  // A long heading is broken.
  for (const std::string& line : broken(heading_of(table.columns[column]), 12.0 * kSign))
    most = std::max(most, signs(line));
  std::size_t said = 0;
  for (const auto& row : table.rows)
    said = std::max(said, signs(shown_in(table.columns[column], row[column])));
  if (table.to_fill && said == 0) return kToWriteIn;
  most = std::max(most, said);
  return static_cast<double>(std::min(most, kWidest)) * kSign;
}

class Pages {
 public:
  explicit Pages(const ListingBook& book) : book_(book) {
    for (const Listing& table : book.listings) {
      double sum = 0.0;
      for (std::size_t c = 0; c < table.columns.size(); ++c) sum += natural_width(table, c) + kColumnGap;
      if (sum > kShortSide - 2.0 * kPaperMargin) std::swap(width_, height_);
      if (width_ == kLongSide) break;
    }
  }

  Result<std::string> pdf() {
    start_page();
    write(book_.title, 1.5 * kPrintCapital);
    y_ += 2.0;
    for (const auto& [name, value] : book_.facts) {
      if (!value.empty()) paragraph(name + ": " + value);
    }
    for (const Listing& table : book_.listings) add(table);
    for (std::size_t i = 0; i < pages_.size(); ++i) {
      pages_[i].texts.push_back(
          {{kPaperMargin, height_ - 0.5 * kPaperMargin},
           kPrintCapital,
           safe_text(fmt::format("{}, page {} of {}", printed_foot(book_), i + 1, pages_.size())),
           width_ - 2.0 * kPaperMargin});
    }
    return write_page_pdf(pages_, {width_, height_, safe_text(book_.title)});
  }

 private:
  void start_page() {
    pages_.emplace_back();
    y_ = kPaperMargin;
  }
  [[nodiscard]] bool fits(double more) const { return y_ + more <= height_ - 1.4 * kPaperMargin; }

  void write(const std::string& text, double capital) {
    y_ += capital + 1.5;
    pages_.back().texts.push_back(
        {{kPaperMargin, y_}, capital, safe_text(text), width_ - 2.0 * kPaperMargin});
    y_ += 1.0;
  }

  void paragraph(const std::string& text) {
    for (const std::string& line : broken(text, width_ - 2.0 * kPaperMargin)) {
      if (!fits(kLine)) start_page();
      y_ += kLine;
      pages_.back().texts.push_back(
          {{kPaperMargin, y_}, kPrintCapital, safe_text(line), width_ - 2.0 * kPaperMargin});
    }
  }

  // Columns of words give way where a table is wider than the page.
  [[nodiscard]] std::vector<double> widths_of(const Listing& table) const {
    std::vector<double> widths;
    double sum = 0.0;
    double giving = 0.0;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      widths.push_back(natural_width(table, c));
      sum += widths.back() + kColumnGap;
      giving += table.columns[c].text ? std::max(0.0, widths.back() - kFewest * kSign) : 0.0;
    }
    const double room = width_ - 2.0 * kPaperMargin;
    const double share = giving > 0.0 ? std::clamp((sum - room) / giving, 0.0, 1.0) : 0.0;
    double left = 0.0;
    for (std::size_t c = 0; c < widths.size(); ++c) {
      if (table.columns[c].text) widths[c] -= share * std::max(0.0, widths[c] - kFewest * kSign);
      left += widths[c] + kColumnGap;
    }
    if (left > room) {
      for (double& width : widths) width *= room / left;
    }
    return widths;
  }

  using Lines = std::vector<std::vector<std::string>>;  // by cell

  static double height_of(const Lines& cells) {
    std::size_t most = 1;
    for (const auto& lines : cells) most = std::max(most, lines.size());
    return static_cast<double>(most) * kLine;
  }

  void put(const Listing& table, const std::vector<double>& widths, const Lines& cells, double more) {
    const double top = y_;
    double x = kPaperMargin;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      double y = top + more;
      for (const std::string& line : cells[c]) {
        y += kLine;
        const double long_as = static_cast<double>(signs(line)) * kSign;
        const double at = table.columns[c].text ? x : std::max(x, x + widths[c] - long_as);
        if (!line.empty())
          pages_.back().texts.push_back({{at, y}, kPrintCapital, safe_text(line), widths[c]});
      }
      x += widths[c] + kColumnGap;
    }
    y_ = top + more + height_of(cells);
    rule(y_ + 1.0, widths, table.to_fill ? 0.5 * kColumnGap : 0.0);
    y_ += 0.6;
  }

  // `beyond`: past the columns at either side, as far as the upright lines of boxes.
  void rule(double y, const std::vector<double>& widths, double beyond) {
    double end = kPaperMargin - kColumnGap;
    for (const double width : widths) end += width + kColumnGap;
    pages_.back().rules.push_back({{kPaperMargin - beyond, y}, {end + beyond, y}});
  }

  // Upright lines between the columns of a table to be written in, from the rule above the row to its own.
  void box_in(const std::vector<double>& widths, double top) {
    double x = kPaperMargin - 0.5 * kColumnGap;
    for (const double width : widths) {
      pages_.back().rules.push_back({{x, top + 0.4}, {x, y_ + 0.4}});
      x += width + kColumnGap;
    }
    pages_.back().rules.push_back({{x, top + 0.4}, {x, y_ + 0.4}});
  }

  // What fits on a page is not parted.
  void add(const Listing& table) {
    const std::vector<double> widths = widths_of(table);
    Lines head;
    for (std::size_t c = 0; c < widths.size(); ++c)
      head.push_back(broken(heading_of(table.columns[c]), widths[c]));
    const double more = table.to_fill ? kToWrite : 0.0;
    std::vector<Lines> rows;
    double high = 12.0 + height_of(head);
    for (const auto& row : table.rows) {
      rows.emplace_back();
      for (std::size_t c = 0; c < widths.size(); ++c)
        rows.back().push_back(broken(shown_in(table.columns[c], row[c]), widths[c]));
      high += height_of(rows.back()) + more + 0.6;
    }
    const bool on_a_page = high < height_ - 2.4 * kPaperMargin;
    if (!fits(on_a_page ? high : 12.0 + height_of(head) + more + 2.0 * kLine)) start_page();
    y_ += 3.0;
    const std::string title = table.title.empty() ? table.name : table.title;
    write(title, 1.2 * kPrintCapital);
    put(table, widths, head, 0.0);
    for (std::size_t r = 0; r < rows.size(); ++r) {
      const Lines& cells = rows[r];
      if (!fits(height_of(cells) + more)) {
        start_page();
        write(title + ", continued", 1.2 * kPrintCapital);
        put(table, widths, head, 0.0);
      }
      const double top = y_;
      put(table, widths, cells, more);
      if (table.to_fill) box_in(widths, top);
      if (std::binary_search(table.failing.begin(), table.failing.end(), r)) {
        Box2 mark;
        mark.add(Vec2{kPaperMargin - 3.0, top + 1.6});
        mark.add(Vec2{kPaperMargin - 1.8, y_ - 0.2});
        pages_.back().bars.push_back(mark);
      }
    }
    for (const std::string& note : table.notes) paragraph(note);
  }

  const ListingBook& book_;
  double width_ = kShortSide;
  double height_ = kLongSide;
  double y_ = 0.0;
  std::vector<PrintedPage> pages_;
};

}  // namespace

Result<std::string> to_pdf(const ListingBook& book) {
  return Pages(book).pdf();
}

}  // namespace lastwright
