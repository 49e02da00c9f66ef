// What is unlike its like: steps (grading/checks/measure_steps), allowances many times those of other edges
// of their treatment, and limits that judge nothing any more. All of it may be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// Allowances that no edge of their treatment has, and those of more than three times, or less than a third
// of, the middle one of their treatment.
std::vector<StyleFinding> odd_allowances(const StyleGrade& grade);
// Stated limits that are much looser than what holds unless they are stated.
std::vector<StyleFinding> loose_limits(const StyleSpec& style);

}  // namespace lastwright
