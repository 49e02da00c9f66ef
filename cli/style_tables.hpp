// A style's tables without its drawings: all that sizes, girths and readings need.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/measure_table.hpp"
#include "grading/reference_tables.hpp"
#include "grading/size_run.hpp"

namespace lastwright {

struct StyleTables {
  StyleSpec style;
  ReferenceTables tables;  // built in, the style's own and those of the command line
  Scale scale;
  Ladder ladder;
  SizeRun run;
  MeasureTable measures;
};

struct StyleTablesRead {
  std::optional<StyleTables> found;  // there when there are no problems
  std::vector<Problem> problems;
};

// Reads the style file and every table it names; `more_tables` come from the command line.
StyleTablesRead read_style_tables(const std::string& style_file, const std::vector<std::string>& more_tables);

}  // namespace lastwright
