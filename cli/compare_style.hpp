// A style against any table of the collection, by its key: what --against means everywhere.
#pragma once

#include <string>

#include "cli/style_files.hpp"
#include "grading/measures/printed_comparison.hpp"

namespace lastwright {

// `key` as `sizes --list` shows it, with or without "printed-" or "measures-" before it. `width`: the width
// that a table without widths is compared with; empty: the style's base width.
Result<TableComparison> compare_style(const LoadedStyle& style, std::string key, const std::string& width);

}  // namespace lastwright
