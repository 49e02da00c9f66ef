// What texts and names say beside what the style states.
//
//   text and size   a drawn text, or a feature's, that says a size and a width ("37 3", "size 8"), or the
//                   base's alone ("28", "28 {width}"), is made as it is in every size of the run; and it may
//                   not be the base. A text that fills in the size,
//                   on a piece that is tied over sizes: one piece serves them all
//   point by name   a point of a forme, where no corner of that name lies on it and one lies near
//   drawn elsewhere a piece that lies as drawn, whose corners lie to each other as the points of their names
//                   do, and all of them elsewhere
//   base size       no length drawn as the base size has it, and one as another size has it; formes of one
//                   last whose lengths have extras that are a size apart or more
//   base width      measures that are drawn as long as they are in another width of the base size
//
// All of it may be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

std::vector<StyleFinding> check_said(const StyleSpec& style, const StyleGrade& grade,
                                     const MeasureTable& table);

}  // namespace lastwright
