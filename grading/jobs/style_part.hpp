// A style of which only a part of the sizes and widths is looked at: those that are approved so far.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"

namespace lastwright {

struct PartLabels {
  std::vector<std::string> sizes;  // empty: all that the style is made in
  std::vector<std::string> widths;
};

// Makes the part the style's run. What of the run it is, in words; empty where it is the whole run. Refuses
// what the run does not have.
Result<std::string> keep_part(LoadedStyle& style, const PartLabels& part);

}  // namespace lastwright
