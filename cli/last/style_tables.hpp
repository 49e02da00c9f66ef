// A style file and everything its numbers need: scale, ladder, measure table, size run.
#pragma once

#include <string>
#include <vector>

#include "grading/measure_table.hpp"
#include "grading/size_run.hpp"
#include "grading/style.hpp"

namespace lastwright {

struct StyleTables {
  StyleSpec style;
  Scale scale;
  Ladder ladder;
  MeasureTable table;
  SizeRun run;
  std::vector<std::string> inputs;  // every file that was read: outputs must not land on them
};
Result<StyleTables> load_style_tables(const std::string& file);

// `name` as seen from the folder of `file`.
std::string beside(const std::string& file, const std::string& name);

}  // namespace lastwright
