#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/listing/listing.hpp"
#include "cli/safe_text.hpp"

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

void append_text_table(std::string& out, const Listing& table) {
  if (!table.title.empty()) out += "\n" + table.title + "\n";
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    std::size_t width = places(heading(table.columns[c]));
    for (const auto& row : table.rows) width = std::max(width, places(text_of(row.at(c))));
    widths.push_back(width);
  }
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
  for (const auto& row : table.rows) line([&](std::size_t c) { return text_of(row.at(c)); });
  for (const std::string& note : table.notes) out += "  " + note + "\n";
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
  for (const auto& [name, value] : book.facts) out += padded(name, width, true) + "  " + value + "\n";
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

Status keep_only(ListingBook& book, const std::vector<std::string>& only) {
  if (only.empty()) return Done{};
  std::vector<std::string> known;
  for (const Listing& listing : book.listings) known.push_back(listing.name);
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

Result<std::string> render(ListingBook book, std::string_view format, const std::vector<std::string>& only) {
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
