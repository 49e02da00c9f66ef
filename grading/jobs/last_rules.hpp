// Rules that follow a last: a forme's "rules_from_last" names the file that lastwright last formes wrote, and
// the points that take their rules from it.
#pragma once

#include <string>

#include "geometry/result.hpp"
#include "grading/measures/measure_table.hpp"
#include "grading/sizes/size_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// What the style grades: every size and width of it has to be covered by the lasts that the rules were fitted
// to.
struct FollowingRun {
  const SizeRun& run;
  const SizeWidth& base;
  const Scale& scale;
  const Ladder& ladder;
  const MeasureTable& measures;  // of that base
  // For the command that fits them anew: rules without a move per size or per width are taken as if there
  // were none, and that is told; for which base, to which table and where drawn they were fitted is not
  // asked.
  bool uncovered = false;
};

struct FollowedLast {
  std::string last;     // whose file the rules were fitted to
  std::string covered;  // "sizes 7 to 9, width F": what it was fitted on
  // What of the run lies beyond that, in words; empty: nothing.
  std::string beyond;
  bool of_table = true;  // false: the file does not say for which base and to which table it was fitted
  double residual =
      0.0;  // mm: the largest distance of a point's rule from the last's own place in the fitted run
};

// Adds a point rule for each point named. Refuses, with its place in that file, what is no such file; and
// with its pointer in the style a forme or point the file does not have, one that was drawn elsewhere when
// the rules were fitted, one that has a rule of its own, rules that were fitted on one size or one width
// where the run has others, and rules fitted for another base or to a table whose measures grow otherwise
// than the style's. Precondition: forme.rules_from_last.
Result<FollowedLast> follow_last(FormeSpec& forme, const std::string& file, const FollowingRun& run);

}  // namespace lastwright
