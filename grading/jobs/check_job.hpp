// A loaded style checked in every size and width, without anything being written.
#pragma once

#include <vector>

#include "grading/checks/judge.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

struct StyleFindings {
  std::vector<StyleFinding>
      findings;  // of all checks, then how far rules reach, then what another base changes
  std::vector<PieceHands> hands;
};

struct CheckedStyle {
  StyleGrade grade;
  StyleFindings found;
};

// `grade`: of the style's run. `every_rule`: a finding for every rule that moves what lies away from it, not
// only for the worst. threads: 0 for one per core; the result does not depend on them.
StyleFindings findings_of(const LoadedStyle& style, const StyleGrade& grade, bool every_rule,
                          unsigned threads);

// The same from the start. Fails where the style cannot be graded at all.
Result<CheckedStyle> check_loaded(const LoadedStyle& style, bool every_rule, unsigned threads);

}  // namespace lastwright
