#include "cli/compare_option.hpp"

#include <optional>

#include "cli/option_problem.hpp"

namespace lastwright {

Result<TableComparison> compared(const LoadedStyle& style, const std::string& against,
                                 const std::string& width) {
  std::optional<Width> in;
  if (!width.empty()) {
    const Result<Width> found = in_option(style.ladder.width(width), "--width");
    if (!found) return found.problem();
    in = *found;
  }
  return in_option(compare_style(style, against, in), "--against");
}

}  // namespace lastwright
