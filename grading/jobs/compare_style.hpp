// A style against any table of the collection, by its key: what --against means everywhere.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"
#include "grading/measures/printed_comparison.hpp"

namespace lastwright {

// As a user states it.
struct StatedComparison {
  std::string key;          // as `sizes --list` shows it, with or without "printed-" or "measures-" before it
  std::string width;        // of the style, which another ladder's is laid beside; empty: its base width
  std::string their_width;  // of the table's own ladder, where that is not the style's
  std::vector<Allowance> allowances = {};
};
Result<TableComparison> compare_style(const LoadedStyle& style, const StatedComparison& stated);

}  // namespace lastwright
