// Where the table of measures asks a heel height, toe spring or toe thickness that the last's own rules do
// not give: no target holds these.
#pragma once

#include <string>
#include <vector>

#include "grading/lasts/last_set.hpp"

namespace lastwright {

// A measure with a rule of its own, where the run is farthest off what the table changes it by from its base.
struct RuleMiss {
  std::string measure;
  SizeWidth base;
  SizeWidth at;
  double by_table = 0.0;  // mm, from the base to there
  double by_last = 0.0;
  double limit = 0.0;  // mm: of a base's measures (base_limits.hpp); beyond it the run fails
  [[nodiscard]] bool failed() const;
};

// In the order of the definitions; those that agree within 0.05 mm left out. Of the lasts that were made.
std::vector<RuleMiss> rules_off_table(const LastSet& set);

// Both changes, the rule that is followed, and the one that would do.
std::string told_of(const RuleMiss& miss, const LastSet& set);

}  // namespace lastwright
