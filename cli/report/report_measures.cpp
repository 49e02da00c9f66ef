// Measures of the report: charts, tables, increments; edges of the pieces.
#include <fmt/format.h>

#include <algorithm>

#include "cli/listing/girth_books.hpp"
#include "cli/report/girth_chart.hpp"
#include "cli/report/html_table.hpp"
#include "cli/report/report_sections.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/sizes/quantity.hpp"

namespace lastwright {

namespace {

Table values_of(const LoadedStyle& style, std::size_t measure, bool inches) {
  Table table;
  table.name = style.measures.measures()[measure].name + (inches ? ", inches" : ", millimetres");
  table.columns.push_back({"size"});
  for (const Width& width : style.run.widths) table.columns.push_back({width.label});
  for (const Size& size : style.run.sizes) {
    std::vector<TableCell> row{{size.label}};
    for (const Width& width : style.run.widths) {
      if (!style.run.makes(SizeWidth{size, width})) {
        row.push_back({""});
        continue;
      }
      const Fraction value = style.measures.exact(measure, {size, width});
      row.push_back({inches ? to_inches(value, 32) : to_places(value, 2)});
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::string steps_of(const Measure& measure, bool equal_widths) {
  const std::string size =
      measure.law == Law::kProportional ? "with the length" : measure.per_size.written + " a size";
  return fmt::format(
      "{}, {} a {}{}; {}: {}", size, measure.per_width.written, equal_widths ? "width" : "full width step",
      measure.breaks.empty() ? "" : ", with breaks", name_of(measure.source.provenance), measure.source.text);
}

Table table_of(const Listing& listing) {
  Table table;
  table.name = listing.title;
  for (const ListingColumn& column : listing.columns)
    table.columns.push_back({column.unit.empty() ? column.title : column.title + ", " + column.unit});
  for (const auto& cells : listing.rows) {
    std::vector<TableCell> row;
    for (const ListingCell& cell : cells) row.push_back({text_of(cell)});
    table.rows.push_back(std::move(row));
  }
  return table;
}

}  // namespace

std::string measures_html(const LoadedStyle& style) {
  std::string html;
  const auto& measures = style.measures.measures();
  for (std::size_t m = 0; m < measures.size(); ++m) {
    html += fmt::format(
        "<section class=\"measure\" data-measure=\"{}\"><h3>{}</h3><p class=\"source\">{}</p>\n<div "
        "class=\"beside\">{}<div>\n",
        m, xml_escaped(measures[m].name), xml_escaped(steps_of(measures[m], style.ladder.positions.empty())),
        girth_chart(style, m));
    html += html_table(values_of(style, m, false), {.classes = "values mm", .figures = true});
    html += html_table(values_of(style, m, true), {.classes = "values inch", .figures = true});
    html += "</div></div></section>\n";
  }
  return html + "<h3>Increments</h3>\n" +
         html_table(table_of(increment_listing(style)), {.classes = "increments"});
}

namespace {

// "lasting 18 mm, 19 mm from 8.5"; "cut double" on the fold, as the piece sheets say.
std::string said_of(const PieceSpec& piece, const EdgeSpec& edge) {
  if (edge.name == piece.fold) return "cut double";
  std::string text = name_of(edge.treatment);
  const auto amount = [](Millimetres allowance) {
    return allowance.value() == 0.0 ? std::string("0\u00a0mm")
                                    : fmt::format("{:g}\u00a0mm", allowance.value());
  };
  if (edge.allowance.value() != 0.0 || !edge.allowance_from.empty()) text += " " + amount(edge.allowance);
  for (const AllowanceStep& step : edge.allowance_from)
    text += fmt::format(", {} from {}", amount(step.allowance), step.from);
  return text;
}

// "feather: lasting 18 mm, 19 mm from 8.5; top, back: fold 4 mm": edges that are treated alike together.
std::string edges_of(const PieceSpec& piece) {
  std::vector<std::pair<std::string, std::string>> groups;  // what is said, and of which edges
  for (const EdgeSpec& edge : piece.edges) {
    const std::string said = said_of(piece, edge);
    const auto same =
        std::find_if(groups.begin(), groups.end(), [&](const auto& group) { return group.first == said; });
    if (same == groups.end()) {
      groups.emplace_back(said, edge.name);
    } else {
      same->second += ", " + edge.name;
    }
  }
  std::string text;
  for (const auto& [said, names] : groups) text += (text.empty() ? "" : "; ") + names + ": " + said;
  return text;
}

}  // namespace

std::string pieces_html(const LoadedStyle& style) {
  Table table;
  table.name = "edges of the pieces";
  table.columns = {{"piece"}, {"material"}, {"hand"}, {"a pair"}, {"edges: treatment, allowance"}};
  for (const PieceSpec& piece : style.spec.pieces) {
    table.rows.push_back({{piece.name},
                          {piece.material},
                          {std::string(name_of(piece.hand))},
                          {std::int64_t{piece.per_pair}},
                          {edges_of(piece)}});
  }
  return html_table(table, {.classes = "edges"});
}

}  // namespace lastwright
