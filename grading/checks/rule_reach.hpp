// What each rule of a forme moves that lies away from it.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// One finding for each rule and held edge: how far it moves the pieces of its forme beyond its own
// surroundings, against the grade without it; the worst over the outermost sizes and widths, at the ends of
// their outlines' spans. Its surroundings: within the forme's length scale of its points; for what moves as
// one, within one and a half times its size. A report without a limit. The lines that set the stretches
// cannot be left out, and have none.
std::vector<StyleFinding> rule_reaches(const StyleGrade& grade, const MeasureTable& table);

}  // namespace lastwright
