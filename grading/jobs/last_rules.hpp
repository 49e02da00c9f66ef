// Rules that follow a last: a forme's "rules_from_last" names the file that lastwright last formes wrote, and
// the points that take their rules from it.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct FollowedLast {
  std::string last;  // whose file the rules were fitted to
  double residual =
      0.0;  // mm: the largest distance of a point's rule from the last's own place in the fitted run
};

// Adds a point rule for each point named. Refuses, with its place in that file, what is no such file; and
// with its pointer in the style a forme or point the file does not have, one that was drawn elsewhere when
// the rules were fitted, and one that has a rule of its own. Precondition: forme.rules_from_last.
Result<FollowedLast> follow_last(FormeSpec& forme, const std::string& file);

}  // namespace lastwright
