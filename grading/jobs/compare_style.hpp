// A style against any table of the collection, by its key: what --against means everywhere.
#pragma once

#include <optional>
#include <string>

#include "grading/jobs/load_style.hpp"
#include "grading/measures/printed_comparison.hpp"

namespace lastwright {

// `key` as `sizes --list` shows it, with or without "printed-" or "measures-" before it. `width`: the width
// that a table without widths is compared with; none: the style's base width.
Result<TableComparison> compare_style(const LoadedStyle& style, std::string key,
                                      const std::optional<Width>& width);

}  // namespace lastwright
