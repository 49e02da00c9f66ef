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
  std::string key;    // in CSV and JSON: "ball_girth_mm"
  std::string title;  // for people: "ball girth"
  std::string unit;   // "mm", "in", or empty
  bool text = false;  // left-aligned
};

struct Listing {
  std::string name;   // short: the sheet's name
  std::string title;  // a line for people
  std::vector<ListingColumn> columns;
  std::vector<std::vector<ListingCell>> rows;  // each as long as `columns`
  std::vector<std::string> notes;              // printed below: sources, roundings, cautions
  std::vector<std::size_t> failing = {};  // ascending: rows that say that something is wrong, marked in HTML
};

// Several tables that belong together, with what holds for all of them.
struct ListingBook {
  std::string title;
  std::vector<std::pair<std::string, std::string>> facts;  // {"style", "Derby boot"}
  std::vector<Listing> listings;
};

// "12.70"; never "-0.00"; "" for nothing.
std::string text_of(const ListingCell& cell);

std::string to_text(const ListingBook& book);
std::string to_csv(const ListingBook& book);  // all listings, each under a line "# title"
std::string to_json(const ListingBook& book);
std::string to_html(const ListingBook& book);  // one page, nothing loaded from outside
// One tab a listing, and one for the notes. Same bytes every time; texts never become formulas.
Result<std::string> to_xlsx(const ListingBook& book);

// "text", "csv", "json", "html", "xlsx".
Result<std::string> render(const ListingBook& book, std::string_view format);

}  // namespace lastwright
