// A size or a width of a run by its label, as people write it.
#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "grading/sizes/size_run.hpp"

namespace lastwright {

// `Step`: Size or Width. The end where the run has none of this label.
template <class Step>
auto step_named(const std::vector<Step>& run, const std::string& label) {
  return std::find_if(run.begin(), run.end(), [&](const Step& one) { return same_label(one.label, label); });
}

template <class Step>
auto position_named(const std::vector<Step>& run, const std::string& label) {
  const auto found = step_named(run, label);
  return found == run.end() ? std::nullopt : std::optional(found->position);
}

}  // namespace lastwright
