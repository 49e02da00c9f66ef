// Pieces stated as drawn net that look as if they were drawn as cut.
//
// Finished edges that are sewn together lie on each other. As they are cut they lie over each other, by what
// both allow there, and run alike from end to end.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// "drawn net", doubtful, one for each two pieces of a layer and forme, one of them drawn net at least, of
// which no seam joins any edges and edges of which face each other, overlap and keep one distance of 1 to 25
// mm over most of the shorter, to 0.2 mm; the worst is that distance, of the longest such pair.
std::vector<StyleFinding> check_drawn_net(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
