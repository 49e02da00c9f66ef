// The options --against and --width, which mean the same in every command.
#pragma once

#include <string>

#include "grading/jobs/compare_style.hpp"

namespace lastwright {

// `width`: empty for the style's base width. What an option cannot mean is a slip on the command line.
Result<TableComparison> compared(const LoadedStyle& style, const std::string& against,
                                 const std::string& width);

}  // namespace lastwright
