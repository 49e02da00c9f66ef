// What would come out otherwise if another size or width were the base.
//
// The same formes may be drawn in any size, with the same tables and rules. Where the rules are proportional
// the sets are then equal. What other rules ask is met in every set, but what lies between them is not quite
// the same: the corrections start from the points and the length scale of the base drawing, and two grades
// one after the other are one only to first order.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// A forme as it is drawn when graded: its named points and what is held, moved.
FormeSpec redrawn(const GradeMap& map, const Drivers& drivers);

// What is left of a step when another step has been gone.
GradeStep step_between(const GradeStep& from, const GradeStep& to);

// One finding for each forme, without a limit: the formes redrawn in every other one of
// the smallest, the base and the largest size in the narrowest, the base and the widest
// width, and graded from there to all the rest of these; how far the ends of the spans of
// its pieces' outlines come to lie from where the grade of the base puts them, at worst.
// From any other size and width of the run it is no more where a size is like the next. `threads`: 0 for one
// per core; the findings are the same whatever it is.
std::vector<StyleFinding> another_base(const StyleGrade& grade, const MeasureTable& table, unsigned threads = 1);

}  // namespace lastwright
