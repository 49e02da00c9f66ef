// Edges so short that nobody cuts, sews or names them: two vertices of a drawing taken for two corners.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// "short edge": doubtful ones alone, by their length in the base.
std::vector<StyleFinding> check_short_edges(const StyleGrade& grade);

}  // namespace lastwright
