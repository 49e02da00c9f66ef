// Measures of the report: charts, tables, increments; edges of the pieces.
#include <fmt/format.h>

#include "cli/listing/girth_books.hpp"
#include "cli/report/girth_chart.hpp"
#include "cli/report/html_table.hpp"
#include "cli/report/report_sections.hpp"
#include "geometry/io/svg_canvas.hpp"
#include "grading/quantity.hpp"

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
      const double value = style.measures.value(measure, {size, width});
      row.push_back(inches ? TableCell{to_inches(value, 32)} : TableCell{value});
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::string steps_of(const Measure& measure) {
  const std::string size =
      measure.law == Law::kProportional ? "with the length" : measure.per_size.written + " a size";
  return fmt::format("{}, {} a width{}; {}: {}", size, measure.per_width.written,
                     measure.breaks.empty() ? "" : ", with breaks", name_of(measure.source.provenance),
                     measure.source.text);
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
        m, xml_escaped(measures[m].name), xml_escaped(steps_of(measures[m])), girth_chart(style, m));
    html += html_table(values_of(style, m, false), {.classes = "values mm", .figures = true});
    html += html_table(values_of(style, m, true), {.classes = "values inch", .figures = true});
    html += "</div></div></section>\n";
  }
  return html + "<h3>Increments</h3>\n" +
         html_table(table_of(increment_listing(style)), {.classes = "increments"});
}

std::string pieces_html(const LoadedStyle& style) {
  Table table;
  table.name = "edges of the pieces";
  table.columns = {{"piece"}, {"material"}, {"hand"}, {"a pair"}, {"edges: treatment, allowance"}};
  for (const PieceSpec& piece : style.spec.pieces) {
    std::string edges;
    for (const EdgeSpec& edge : piece.edges) {
      edges += fmt::format("{}{}: {}", edges.empty() ? "" : "; ", edge.name, name_of(edge.treatment));
      if (edge.allowance.value() != 0.0) edges += fmt::format(" {:g} mm", edge.allowance.value());
    }
    table.rows.push_back({{piece.name},
                          {piece.material},
                          {std::string(name_of(piece.hand))},
                          {std::int64_t{piece.per_pair}},
                          {edges}});
  }
  return html_table(table, {.classes = "edges"});
}

}  // namespace lastwright
