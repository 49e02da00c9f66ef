// A style's measures against a table of the collection, cell by cell, each difference with where the other
// figure stands.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/measures/reference_table.hpp"
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
  std::string not_evidence;  // as in PrintedCell
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
  std::string scale;
  std::string ladder;
};

// By measure name and size, for the sizes of the run. A table without widths, or with another ladder's, is
// compared in `width`, the style's base width unless given. Refuses a table of the foot (a foot and a last
// are compared only through an allowance, and a girth has none in a table), one of another scale, and one
// that shares no cell with the run.
Result<TableComparison> compare(const ComparedStyle& style, const PrintedTable& printed,
                                const std::optional<Width>& width = {});
Result<TableComparison> compare(const ComparedStyle& style, const RuledTable& ruled,
                                const std::optional<Width>& width = {});

}  // namespace lastwright
