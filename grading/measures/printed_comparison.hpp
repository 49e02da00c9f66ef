// A style's measures against a table of the collection, cell
// by cell, each difference with where the other figure stands.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/measures/reference_table.hpp"
#include "grading/sizes/size_conversion.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

struct CellDifference {
  std::size_t measure = 0;  // in the style's table
  SizeWidth at;
  std::string printed;  // as the source has it; empty for a table by rule
  double theirs = 0.0;  // millimetres
  double ours = 0.0;
  double difference = 0.0;   // ours minus theirs
  double half_digit = 0.0;   // of their last printed fraction; 0 for a table by rule
  std::string not_evidence;  // as in PrintedCell; also of values carried on beyond what is printed
  std::string there;         // of a table of the foot: its size and width
};

struct TableComparison {
  std::string title;  // of the other table
  Source source;
  std::vector<CellDifference> cells;
  std::vector<std::string> notes;  // what was not compared, and why
};

// What a style brings to a comparison.
struct ComparedStyle {
  const MeasureTable& table;
  const SizeRun& run;
  const Scale& scale;
  std::string ladder;
};

// How a style is laid beside a table.
struct ComparisonOptions {
  std::optional<Width> width;  // of the style, for a table without widths or of another ladder
  std::optional<Width> there;  // of such a table's own ladder
  // What the last is longer or fuller than the foot by: one with the name of a measure is of that measure,
  // all others are of the length.
  std::vector<Allowance> allowances;
};

// By measure name and size, for the sizes of the run. A table without widths, or with another ladder's, is
// compared in one width. Refuses a table of the foot without an allowance for its length, a table of lasts
// with one, a table of lasts of another scale, and one that shares no cell with the run.
//
// A table of the foot is met where the foot is as long as the last less the allowances of length: between
// sizes by the rule of the one that has a rule for every length, the style's or the table's. Measures without
// an allowance of their own are not compared, and are told.
Result<TableComparison> compare(const ComparedStyle& style, const PrintedTable& printed,
                                const Scale& scale_there, const ComparisonOptions& options = {});
Result<TableComparison> compare(const ComparedStyle& style, const RuledTable& ruled, const Scale& scale_there,
                                const ComparisonOptions& options = {});

}  // namespace lastwright
