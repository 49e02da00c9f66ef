// CSV, JSON and XLSX: for other programs.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/listing/listing.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"

namespace lastwright {
namespace {

// A note or a title on one line.
std::string comment(std::string text) {
  for (char& c : text) {
    if (c == '\n' || c == '\r') c = ' ';
  }
  return "# " + text + "\r\n";
}

// A text that looks like a comment line is quoted, so that it stays a field.
std::string csv_cell(const ListingCell& cell) {
  const std::string field = csv_field(text_of(cell));
  return field.starts_with('#') ? '"' + field + '"' : field;
}

TableCell sheet_cell(const ListingCell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return {*text};
  if (const auto* figure = std::get_if<Figure>(&cell)) return {figure->value};
  return {};
}

Table sheet_of(const Listing& listing) {
  Table sheet;
  sheet.name = listing.name;
  for (std::size_t c = 0; c < listing.columns.size(); ++c) {
    const ListingColumn& column = listing.columns[c];
    TableColumn made{column.unit.empty() ? column.title : column.title + ", " + column.unit};
    std::size_t width = 8;
    for (const auto& row : listing.rows) {
      width = std::max(width, text_of(row[c]).size());
      if (const auto* figure = std::get_if<Figure>(&row[c])) made.decimals = figure->decimals;
    }
    made.width = static_cast<double>(std::min<std::size_t>(width, 60)) + 2.0;
    sheet.columns.push_back(std::move(made));
  }
  for (const auto& row : listing.rows) {
    std::vector<TableCell> cells;
    for (const ListingCell& cell : row) cells.push_back(sheet_cell(cell));
    sheet.rows.push_back(std::move(cells));
  }
  return sheet;
}

// What is printed above and below the tables, on a tab of
// its own: the tables stay clean for filters and sorting.
Table sheet_of_notes(const ListingBook& book) {
  Table sheet{"notes", {{"about", 24.0}, {"note", 100.0}}, {}};
  for (const auto& [name, value] : book.facts) sheet.rows.push_back({{name}, {value}});
  for (const Listing& listing : book.listings) {
    for (const std::string& note : listing.notes) sheet.rows.push_back({{listing.name}, {note}});
  }
  return sheet;
}

nlohmann::ordered_json json_cell(const ListingCell& cell) {
  if (const auto* text = std::get_if<std::string>(&cell)) return *text;
  if (const auto* number = std::get_if<Figure>(&cell)) {
    if (!std::isfinite(number->value)) return nullptr;
    // The digits that are shown, as a number: every form says the same.
    return nlohmann::ordered_json::parse(text_of(cell));
  }
  return nullptr;
}

}  // namespace

std::string to_csv(const ListingBook& book, bool bare) {
  std::string out;
  if (!bare && !book.title.empty()) out += comment(book.title);
  for (const auto& [name, value] : book.facts) {
    if (!bare) out += comment(name + ": " + value);
  }
  for (const Listing& table : book.listings) {
    if (!bare && (book.listings.size() > 1 || !table.title.empty()))
      out += comment(table.title.empty() ? table.name : table.title);
    for (const std::string& note : table.notes) {
      if (!bare) out += comment(note);
    }
    for (std::size_t c = 0; c < table.columns.size(); ++c)
      out += (c ? "," : "") + csv_field(table.columns[c].key);
    out += "\r\n";
    for (const auto& row : table.rows) {
      for (std::size_t c = 0; c < row.size(); ++c) out += (c ? "," : "") + csv_cell(row[c]);
      out += "\r\n";
    }
  }
  return out;
}

std::string to_json(const ListingBook& book) {
  nlohmann::ordered_json root;
  root["title"] = book.title;
  for (const auto& [name, value] : book.facts) root["facts"][name] = value;
  root["tables"] = nlohmann::ordered_json::array();
  for (const Listing& table : book.listings) {
    nlohmann::ordered_json node;
    node["name"] = table.name;
    node["title"] = table.title;
    for (const ListingColumn& column : table.columns) {
      node["columns"].push_back({{"key", column.key}, {"title", column.title}, {"unit", column.unit}});
    }
    node["rows"] = nlohmann::ordered_json::array();
    for (const auto& row : table.rows) {
      nlohmann::ordered_json one = nlohmann::ordered_json::object();
      for (std::size_t c = 0; c < row.size(); ++c) one[table.columns[c].key] = json_cell(row[c]);
      node["rows"].push_back(std::move(one));
    }
    node["notes"] = table.notes;
    root["tables"].push_back(std::move(node));
  }
  // Texts come from users: what is not UTF-8 is replaced rather than refused.
  return root.dump(1, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

Result<std::string> to_xlsx(const ListingBook& book) {
  std::vector<Table> sheets;
  for (const Listing& listing : book.listings) sheets.push_back(sheet_of(listing));
  sheets.push_back(sheet_of_notes(book));
  return to_xlsx(sheets, book.title);
}

}  // namespace lastwright
