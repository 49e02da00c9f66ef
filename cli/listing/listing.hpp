// A listing: a table with its title, units and sources, printed for people or written for other programs, in
// one of many forms (text, CSV, JSON, HTML, XLSX).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "geometry/result.hpp"
#include "grading/sizes/fraction.hpp"

namespace lastwright {

struct Figure {
  double value = 0.0;
  int decimals = 2;                    // shown, in JSON too; XLSX keeps the whole value and shows these
  std::optional<Fraction> exact = {};  // where the value is one: rounded exactly, halves away from zero
};
inline Figure exact_figure(Fraction value, int decimals) {
  return {value.value(), decimals, value};
}
// Nothing, text, or a number.
using ListingCell = std::variant<std::monostate, std::string, Figure>;

struct ListingColumn {
  std::string key;          // in CSV and JSON: "ball_girth_mm"
  std::string title;        // for people: "ball girth"
  std::string unit;         // "mm", "in", or empty
  bool text = false;        // left-aligned
  std::string absent = {};  // what people read where a cell holds nothing: "no limit"
};

struct Listing {
  std::string name;   // short: the sheet's name
  std::string title;  // a line for people
  std::vector<ListingColumn> columns;
  std::vector<std::vector<ListingCell>> rows;  // each as long as `columns`
  std::vector<std::string> notes;              // printed below: sources, roundings, cautions
  bool to_fill = false;                        // empty cells are to be written in
  std::vector<std::size_t> failing = {};  // ascending: rows that say that something is wrong, marked in HTML
};

// Several tables that belong together, with what holds for all of them.
struct ListingBook {
  std::string title;
  std::vector<std::pair<std::string, std::string>> facts;  // {"style", "Derby boot"}
  std::vector<Listing> listings;
};

// "Sheet of readings: Derby boot": at the foot of every printed page.
std::string printed_foot(const ListingBook& book);

// "12.70"; never "-0.00"; "" for nothing.
std::string text_of(const ListingCell& cell);
// As people read it.
inline std::string shown_in(const ListingColumn& column, const ListingCell& cell) {
  return std::holds_alternative<std::monostate>(cell) ? column.absent : text_of(cell);
}

std::string to_text(const ListingBook& book);
// Every listing under a line "# title", notes and facts in such lines too; a book of one listing that was
// asked for alone (`bare`) has none of them.
std::string to_csv(const ListingBook& book, bool bare = false);
std::string to_json(const ListingBook& book);
std::string to_html(const ListingBook& book);  // one page, nothing loaded from outside
// One tab a listing, and one for the notes. Same bytes every time; texts never become formulas.
Result<std::string> to_xlsx(const ListingBook& book);

// Pages of A4, tables side by side with their headings again on each page; lines to write on where a cell is
// to be filled in.
Result<std::string> to_pdf(const ListingBook& book);

// "text", "csv", "json", "html", "xlsx", "pdf". `only`: names of the listings wanted, one by one or
// with commas; empty: all. Refuses a format or a name that is not there.
Result<std::string> render(ListingBook book, std::string_view format, std::vector<std::string> only = {});

}  // namespace lastwright
