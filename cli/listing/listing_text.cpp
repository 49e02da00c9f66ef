#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "cli/listing/listed_names.hpp"
#include "cli/listing/listing.hpp"
#include "geometry/io/safe_text.hpp"

namespace lastwright {
namespace {

// Places on a terminal: one a code point. Our texts hold no wide or combining signs.
std::size_t places(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string padded(const std::string& text, std::size_t width, bool left) {
  const std::string space(width - std::min(width, places(text)), ' ');
  return left ? text + space : space + text;
}

std::string heading(const ListingColumn& column) {
  return column.unit.empty() ? column.title : column.title + " " + column.unit;
}

// Lines longer than this are broken between words where a column of words can be made narrower.
constexpr std::size_t kTextLine = 120;
constexpr std::size_t kNarrowestWords = 32;  // of a column of words

// The text in lines of at most `width` places, broken at blanks; a longer word stays whole.
std::vector<std::string> wrapped(const std::string& text, std::size_t width) {
  std::vector<std::string> lines(1);
  std::size_t at = 0;
  while (at < text.size()) {
    std::size_t end = text.find(' ', at + 1);
    if (end == std::string::npos) end = text.size();
    const std::string word = text.substr(at, end - at);  // with the blanks before it
    if (lines.back().empty() || places(lines.back()) + places(word) <= width) {
      lines.back() += word;
    } else {
      lines.push_back(word.substr(std::min(word.find_first_not_of(' '), word.size())));
    }
    at = end;
  }
  return lines;
}

void append_wrapped(std::string& out, const std::string& indent, const std::string& first,
                    const std::string& text) {
  const std::size_t room = kTextLine - std::min(places(indent), kTextLine - kNarrowestWords);
  const std::vector<std::string> lines = wrapped(text, room);
  for (std::size_t i = 0; i < lines.size(); ++i) out += (i == 0 ? first : indent) + lines[i] + "\n";
}

// Takes what a line is too long from the widest columns of words.
void make_fit(const Listing& table, std::vector<std::size_t>& widths) {
  for (;;) {
    std::size_t line = 2 * (widths.size() - 1);
    std::optional<std::size_t> widest;
    std::size_t second = kNarrowestWords;  // the widest is made no narrower than the next
    for (std::size_t c = 0; c < widths.size(); ++c) {
      line += widths[c];
      if (!table.columns[c].text || widths[c] <= kNarrowestWords) continue;
      if (!widest || widths[c] > widths[*widest]) {
        if (widest) second = std::max(second, widths[*widest]);
        widest = c;
      } else {
        second = std::max(second, widths[c]);
      }
    }
    if (line <= kTextLine || !widest) return;
    const std::size_t wanted = widths[*widest] - std::min(widths[*widest], line - kTextLine);
    // Two that are equally wide take turns.
    widths[*widest] = std::max({wanted, std::min(second, widths[*widest] - 1), kNarrowestWords});
  }
}

void append_text_table(std::string& out, const Listing& table) {
  if (!table.title.empty()) out += "\n" + table.title + "\n";
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    std::size_t width = places(heading(table.columns[c]));
    for (const auto& row : table.rows) width = std::max(width, places(shown_in(table.columns[c], row.at(c))));
    widths.push_back(width);
  }
  make_fit(table, widths);
  const auto line = [&](const auto& cell_text) {
    std::string text;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      if (c > 0) text += "  ";
      text += padded(cell_text(c), widths[c], table.columns[c].text);
    }
    text.erase(text.find_last_not_of(' ') + 1);
    out += text + "\n";
  };
  line([&](std::size_t c) { return heading(table.columns[c]); });
  line([&](std::size_t c) { return std::string(widths[c], '-'); });
  for (const auto& row : table.rows) {
    std::vector<std::vector<std::string>> cells;
    std::size_t lines = 1;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      const std::string text = shown_in(table.columns[c], row.at(c));
      cells.push_back(table.columns[c].text ? wrapped(text, widths[c]) : std::vector{text});
      lines = std::max(lines, cells.back().size());
    }
    for (std::size_t i = 0; i < lines; ++i)
      line([&](std::size_t c) { return i < cells[c].size() ? cells[c][i] : std::string(); });
  }
  for (const std::string& note : table.notes) append_wrapped(out, "  ", "  ", note);
}

}  // namespace

std::string text_of(const ListingCell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  if (const auto* number = std::get_if<Figure>(&cell)) {
    if (number->exact) return to_places(*number->exact, number->decimals);
    if (!std::isfinite(number->value)) return "";
    std::string text = fmt::format("{:.{}f}", number->value, number->decimals);
    if (text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);
    return text;
  }
  return "";
}

std::string to_text(const ListingBook& book) {
  std::string out = book.title.empty() ? "" : book.title + "\n";
  std::size_t width = 0;
  for (const auto& [name, value] : book.facts) width = std::max(width, places(name));
  for (const auto& [name, value] : book.facts)
    append_wrapped(out, std::string(width + 2, ' '), padded(name, width, true) + "  ", value);
  for (const Listing& table : book.listings) append_text_table(out, table);
  if (out.starts_with('\n')) out.erase(0, 1);
  return safe_lines(out);
}

namespace {

Problem no_such(const char* what, std::string_view asked, const std::vector<std::string>& known) {
  std::string all;
  for (std::size_t i = 0; i < known.size(); ++i)
    all += (i == 0 ? "" : i + 1 < known.size() ? ", " : " and ") + known[i];
  return {Trouble::kUsage, fmt::format("there is no {} \"{}\"; {} are known", what, asked, all), {}, {}, {}};
}

Status keep_only(ListingBook& book, std::vector<std::string>& only) {
  if (only.empty()) return Done{};
  std::vector<std::string> known;
  for (const Listing& listing : book.listings) known.push_back(listing.name);
  only = listed_names(only, known);
  for (const std::string& name : only) {
    if (std::find(known.begin(), known.end(), name) == known.end()) return no_such("table", name, known);
    if (std::count(only.begin(), only.end(), name) > 1)
      return Problem{Trouble::kUsage, fmt::format("the table \"{}\" is asked for twice", name), {}, {}, {}};
  }
  std::erase_if(book.listings, [&](const Listing& listing) {
    return std::find(only.begin(), only.end(), listing.name) == only.end();
  });
  return Done{};
}

// For people, a table with nothing in it and nothing to say is left out.
void drop_empty(ListingBook& book) {
  std::erase_if(book.listings, [](const Listing& one) { return one.rows.empty() && one.notes.empty(); });
}

}  // namespace

Result<std::string> render(ListingBook book, std::string_view format, std::vector<std::string> only) {
  if (Status kept = keep_only(book, only); !kept) return kept.problem();
  if (format == "csv") return to_csv(book, only.size() == 1);
  if (format == "json") return to_json(book);
  if (only.empty()) drop_empty(book);
  if (format == "text") return to_text(book);
  if (format == "html") return to_html(book);
  if (format == "xlsx") return to_xlsx(book);
  if (format == "pdf") return to_pdf(book);
  return no_such("format", format, {"text", "csv", "json", "html", "xlsx", "pdf"});
}

}  // namespace lastwright
