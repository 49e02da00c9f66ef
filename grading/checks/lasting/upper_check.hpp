// Parts of an upper that no rule of the last reaches.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// A vamp or a quarter by its name, on a forme that is no copy of the last, without an edge that is lasted.
// One for each, doubtful; the worst is how many of its edges have no allowance.
std::vector<StyleFinding> check_uppers(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
