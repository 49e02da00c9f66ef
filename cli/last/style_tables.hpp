// A style file and everything its numbers need: scale, ladder, measure table, size run.
#pragma once

#include <string>
#include <vector>

#include "grading/measures/measure_table.hpp"
#include "grading/sizes/size_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct StyleTables {
  StyleSpec style;
  Scale scale;
  Ladder ladder;
  MeasureTable table;
  SizeRun run;
  std::vector<std::string> inputs;  // every file that was read: outputs must not land on them
};
// Refuses a style with a girth over a forme of which nothing says what part of the last it is.
Result<StyleTables> load_style_tables(const std::string& file);

// `name` as seen from the folder of `file`.
std::string beside(const std::string& file, const std::string& name);

}  // namespace lastwright
