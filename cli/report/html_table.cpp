#include "cli/report/html_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/report/die_words.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

const char* emphasis_class(Emphasis emphasis) {
  switch (emphasis) {
    case Emphasis::kGood:
      return " good";
    case Emphasis::kBad:
      return " bad";
    default:
      return "";
  }
}

struct Shown {
  std::string text;
  bool number = false;
};

Shown shown(const TableCell& cell, int decimals, bool thousands) {
  if (const auto* text = std::get_if<std::string>(&cell.value)) return {xml_escaped(*text), false};
  if (const auto* whole = std::get_if<std::int64_t>(&cell.value))
    return {thousands ? with_thousands(static_cast<long long>(*whole)) : fmt::format("{}", *whole), true};
  if (const auto* number = std::get_if<double>(&cell.value))
    return {thousands ? with_thousands(*number, decimals) : with_decimals(*number, decimals), true};
  return {"", false};
}

// A column is one of figures when its first filled cell is one.
bool is_figures(const Table& table, std::size_t column, const HtmlTableOptions& options) {
  if (options.figures) return column > 0;
  for (const auto& row : table.rows) {
    if (column >= row.size() || std::holds_alternative<std::monostate>(row[column].value)) continue;
    return !std::holds_alternative<std::string>(row[column].value);
  }
  return false;
}

// A text of more signs is given room on a screen, by pages that say so of the class "long".
constexpr std::size_t kLongCell = 60;

// No heading stands over nothing.
bool is_empty(const Table& table, std::size_t column) {
  return column > 0 && !table.rows.empty() &&
         std::all_of(table.rows.begin(), table.rows.end(), [&](const std::vector<TableCell>& row) {
           if (column >= row.size()) return true;
           const auto* text = std::get_if<std::string>(&row[column].value);
           return text != nullptr ? text->empty() : std::holds_alternative<std::monostate>(row[column].value);
         });
}

}  // namespace

std::string html_table(const Table& table, const HtmlTableOptions& options) {
  std::vector<bool> figures;
  std::vector<bool> empty;
  std::string html =
      fmt::format("<div class=\"wide\" tabindex=\"0\" role=\"group\" aria-label=\"{}\"><table class=\"{}\">",
                  xml_escaped(options.caption.empty() ? table.name : options.caption), options.classes);
  if (!options.caption.empty()) html += "<caption>" + xml_escaped(options.caption) + "</caption>";
  html += "<thead><tr>";
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    figures.push_back(is_figures(table, c, options));
    empty.push_back(is_empty(table, c));
    if (empty[c]) continue;
    html += fmt::format("<th scope=\"col\"{}>{}</th>", figures[c] ? " class=\"n\"" : "",
                        xml_escaped(table.columns[c].title));
  }
  html += "</tr></thead><tbody>\n";
  for (const auto& row : table.rows) {
    html += "<tr>";
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      if (empty[c]) continue;
      if (c >= row.size()) {  // a line under it, as under the others
        html += "<td></td>";
        continue;
      }
      const Shown cell = shown(row[c], table.columns[c].decimals, options.thousands);
      const char* kind = figures[c] ? "n" : cell.text.size() > kLongCell ? "long" : "";
      const std::string classes = kind + std::string(emphasis_class(row[c].emphasis));
      const char* tag = c == 0 ? "th" : "td";
      html += fmt::format("<{}{}{}>{}</{}>", tag, c == 0 ? " scope=\"row\"" : "",
                          classes.empty() ? "" : fmt::format(" class=\"{}\"", classes), cell.text, tag);
    }
    html += "</tr>\n";
  }
  return html + "</tbody></table></div>\n";
}

}  // namespace lastwright
