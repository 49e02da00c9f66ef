// Stated limits that judge hardly anything, and those without which something would fail.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"

namespace lastwright {

struct StyleSpec;

// Stated limits that are much looser than what holds unless they are stated: three times, or a third.
std::vector<StyleFinding> loose_limits(const StyleSpec& style);
// To `findings`, all that was judged by the limits: of each stated limit that is looser than what holds
// unless it is stated the worst finding that passes by it alone. "loose limit", doubtful; where the limit
// itself is told already it is said there.
void add_passed_by_limit(const StyleSpec& style, std::vector<StyleFinding>& findings);

}  // namespace lastwright
