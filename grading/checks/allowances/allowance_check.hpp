// Allowances that cannot be meant as they stand: outside what their treatment takes as a rule, on an edge
// that is left raw, falling as sizes grow, or many times those of other edges of their treatment. All of it
// may be meant, and is only told; what is wider than the style's limit fails.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// One finding an edge, "allowance size": wider than `widest`, which fails; what its treatment never has; an
// allowance of a raw edge; more than two and a half times, or less than a third of, the middle one of its
// treatment; one that is narrower in a larger size, or more than half as wide again.
std::vector<StyleFinding> odd_allowances(const StyleGrade& grade, Millimetres widest);

}  // namespace lastwright
