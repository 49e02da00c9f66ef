// All sizes and widths that a style asks for, of which a run may be a part; the run's own where it was made
// without a style.
#pragma once

#include <vector>

#include "grading/sizes/size_run.hpp"

namespace lastwright {

inline const std::vector<Size>& stated_sizes(const SizeRun& run) {
  return run.stated_sizes.empty() ? run.sizes : run.stated_sizes;
}

inline const std::vector<Width>& stated_widths(const SizeRun& run) {
  return run.stated_widths.empty() ? run.widths : run.stated_widths;
}

}  // namespace lastwright
