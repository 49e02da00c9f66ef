// What the files in reference-tables/ hold, beside scales and ladders: printed cells, values by rule,
// markings, increments and limits. Each with its source; figures are exact.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "grading/measures/measure_table.hpp"

namespace lastwright {

// One table of the collection, before its content is read.
struct TableEntry {
  std::string kind;  // "scale", "ladder", "measures", "printed", "marking", "increments", "limits"
  std::string key;
  std::string title;
  Source source;
  std::string file;  // the user's own file; empty: built in
};

// One cell as its source prints it.
struct PrintedCell {
  std::string measure;
  Size size;
  std::optional<Width> width;  // empty: the table is of one width, which its title names
  std::string printed;         // "4 9/16"
  Fraction millimetres;        // exactly what is printed
  Fraction half_digit;         // millimetres: half of the finest fraction printed in its column
  std::string not_evidence;    // empty, or why the cell proves nothing (restored, computed)
};

struct PrintedTable {
  std::string key;
  std::string title;
  std::string scale;
  std::string ladder;  // may be empty
  Sizes of = Sizes::kLast;
  std::string unit;  // of the printed cells
  std::vector<PrintedCell> cells;
  Source source;
  std::vector<std::string> notes;
};

// Values by rule, e.g. a standard's first cell and its steps.
struct RuledTable {
  std::string key;
  std::string title;
  std::string scale;
  std::string ladder;  // may be empty: the table holds in its own width only
  Sizes of = Sizes::kLast;
  MeasureTable table;
  Source source;
  std::vector<std::string> notes;
  // By measure of the table, where it is known: the first and last size that the source prints or states.
  // Beyond them the rule is carried on.
  std::map<std::size_t, std::pair<Size, Size>> printed = {};

  [[nodiscard]] bool carried_on(std::size_t measure, Fraction size_position) const {
    const auto found = printed.find(measure);
    return found != printed.end() &&
           (size_position < found->second.first.position || size_position > found->second.second.position);
  }
};

// Labels of other scales that a source marks on the same shoe: what is stamped, not what is measured.
// A straight rule for the labels of a column: the multiple of `round` nearest to (length - zero) / step,
// where length is that of the size on the table's scale.
struct MarkingRule {
  Quantity zero;
  Quantity step;
  Fraction round = Fraction(1, 2);
  bool halves_up = true;  // what lies half way between two labels gets the larger, else the smaller
  [[nodiscard]] Fraction label(Fraction length) const;
};

struct MarkingTable {
  std::string key;
  std::string title;
  std::string scale;
  std::vector<std::string> columns;
  // By column, where it has one. Every label that the source prints has been compared with it.
  std::vector<std::optional<MarkingRule>> rules = {};
  struct Row {
    std::string size;
    std::vector<std::string> labels;  // "" where there is none
    std::vector<bool> reckoned = {};  // by column: by its rule, not printed
  };
  std::vector<Row> rows;
  Source source;
  std::vector<std::string> notes;
};

struct IncrementStatement {
  std::string system;
  std::string measure;
  std::string per;    // "size", "half size", "width", "half width"
  std::string where;  // may be empty
  Quantity value;
  Source source;
  std::string conflict;  // may be empty
};

// How far a thing may be off: a reading from its table value, or left from right within a pair.
struct LimitRow {
  std::string measure;
  bool within_pair = false;
  Quantity below;
  Quantity above;
  Source source;
};

}  // namespace lastwright
