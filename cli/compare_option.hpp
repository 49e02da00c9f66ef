// The options of a comparison with a table, which mean the same in every command: --against, --width,
// --their-width and --allowance.
#pragma once

#include <string>
#include <vector>

#include "cli/options.hpp"
#include "grading/jobs/compare_style.hpp"

namespace lastwright {

struct ComparisonWords {
  std::string against;
  std::string width;        // empty: the style's base width
  std::string their_width;  // of a table with a ladder of its own
  std::vector<std::string> allowances;
};

// Declares them; gives --against, without which the others mean nothing.
Option* add_comparison(Command* command, ComparisonWords& words);

// What an option cannot mean is a slip on the command line.
Result<TableComparison> compared(const LoadedStyle& style, const ComparisonWords& words);

}  // namespace lastwright
