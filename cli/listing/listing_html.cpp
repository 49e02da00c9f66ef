#include <fmt/format.h>

#include <algorithm>

#include "cli/listing/listing.hpp"
#include "cli/report/page_foot.hpp"

namespace lastwright {
namespace {

constexpr std::string_view kListingStyle = R"css(
:root { color-scheme: light dark; }
body { font: 15px/1.5 system-ui, sans-serif; margin: 2rem auto; max-width: 75rem; padding: 0 1rem; }
h1 { font-size: 1.4rem; } h2 { font-size: 1.1rem; margin-top: 2rem; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1rem 1rem; } dt { opacity: .7; } dd { margin: 0; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
th, td { padding: .2rem .6rem; text-align: right; border-bottom: 1px solid color-mix(in srgb, currentColor 20%, transparent); }
th { border-bottom-width: 2px; vertical-align: bottom; } th.text, td.text { text-align: left; }
tr.failing td { background: color-mix(in srgb, #d33 16%, transparent); } tr.failing td:first-child { font-weight: 600; }
td.fill { border: 1px solid color-mix(in srgb, currentColor 60%, transparent); min-width: 5.5em; height: 1.9em; }
p.note { margin: .2rem 0; opacity: .8; font-size: .9rem; }
@media (max-width: 40rem) {
  thead { position: absolute; left: -999rem; } table, tbody, tr, td { display: block; }
  tr { padding: .4rem 0; border-bottom: 1px solid color-mix(in srgb, currentColor 30%, transparent); }
  td, td.text { display: flex; gap: .8rem; justify-content: space-between; border: 0; text-align: right; padding: .1rem .4rem; }
  td::before { content: attr(data-of); opacity: .7; text-align: left; flex: none; max-width: 45%; } td:empty:not(.fill) { display: none; }
  td.fill { border: 1px solid color-mix(in srgb, currentColor 60%, transparent); margin: .2rem 0; }
}
@page { size: A4 landscape; margin: 12mm 12mm 14mm; }
@media print {
  body { margin: 0; max-width: none; padding: 0; font-size: 9pt; } .wide { overflow: visible; }
  th, td { padding: .5mm 1.2mm; } h2 { break-after: avoid; } tr { break-inside: avoid; }
  .whole { break-inside: avoid; } p.note { break-before: avoid; }
}
)css";

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

void append_html_table(std::string& out, const Listing& table) {
  // What fits on a page of A4 is not parted where it need not be.
  constexpr std::size_t kOnAPage = 24;
  out += table.rows.size() <= kOnAPage ? "<section class=\"whole\">\n" : "<section>\n";
  if (!table.title.empty()) out += "<h2>" + escaped(table.title) + "</h2>\n";
  out += "<div class=\"wide\" tabindex=\"0\"><table>\n<thead><tr>";
  for (const ListingColumn& column : table.columns) {
    out += fmt::format("<th scope=\"col\"{}>{}", column.text ? " class=\"text\"" : "", escaped(column.title));
    if (!column.unit.empty()) out += "<br>" + escaped(column.unit);
    out += "</th>";
  }
  out += "</tr></thead>\n<tbody>\n";
  for (std::size_t r = 0; r < table.rows.size(); ++r) {
    const auto& row = table.rows[r];
    const bool failing = std::binary_search(table.failing.begin(), table.failing.end(), r);
    out += failing ? "<tr class=\"failing\">" : "<tr>";
    for (std::size_t c = 0; c < row.size(); ++c) {
      const ListingColumn& column = table.columns[c];
      const std::string of = column.unit.empty() ? column.title : column.title + ", " + column.unit;
      const std::string said = shown_in(column, row[c]);
      const char* kind = table.to_fill && said.empty() ? " class=\"fill\""
                         : column.text                 ? " class=\"text\""
                                                       : "";
      out += fmt::format("<td{} data-of=\"{}\">{}</td>", kind, escaped(of), escaped(said));
    }
    out += "</tr>\n";
  }
  out += "</tbody></table></div>\n";
  for (const std::string& note : table.notes) out += "<p class=\"note\">" + escaped(note) + "</p>\n";
  out += "</section>\n";
}

}  // namespace

std::string printed_foot(const ListingBook& book) {
  for (const auto& [name, value] : book.facts) {
    if (name == "style" && !value.empty()) return book.title + ": " + value;
  }
  return book.title;
}

std::string to_html(const ListingBook& book) {
  std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n";
  out += "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";
  out += "<title>" + escaped(book.title) + "</title>\n<style>";
  out += kListingStyle;
  out += page_foot_style(printed_foot(book));
  out += "</style>\n</head>\n<body>\n<h1>" + escaped(book.title) + "</h1>\n";
  if (!book.facts.empty()) {
    out += "<dl>\n";
    for (const auto& [name, value] : book.facts) {
      out += "<dt>" + escaped(name) + "</dt><dd>" + escaped(value) + "</dd>\n";
    }
    out += "</dl>\n";
  }
  for (const Listing& table : book.listings) append_html_table(out, table);
  return out + "</body>\n</html>\n";
}

}  // namespace lastwright
