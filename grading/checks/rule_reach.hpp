// What each rule of a forme moves that lies away from it.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// One finding for each rule and held edge: how far it moves the pieces of its forme beyond its own
// surroundings, against the grade without it; the worst over the outermost sizes and widths, at the ends of
// their outlines' spans. Its surroundings: within the forme's length scale of its points; for what keeps its
// shape, within one and a half times its size. The lines that set the stretches cannot be left out, and have
// none. A limit that the style states fails it; without one, what keeps its shape is to be looked at beyond
// 0.5 mm, and other rules are reported. Without `all`, only what has a limit.
std::vector<StyleFinding> rule_reaches(const StyleSpec& style, const StyleGrade& grade,
                                       const MeasureTable& table, bool all);

}  // namespace lastwright
