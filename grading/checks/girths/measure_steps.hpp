// Steps from size to size and from width to width: what shrinks, is many times off its like ("measure step",
// "line step", "point step"), grows out of proportion to the length where it shapes the last, is a strap's
// length or, over the run, of a part with a forme of its own, or not at all, or makes the last longer in a
// wider width, sizes or widths of which all are one last ("measure step"), or sets the length of the last and
// does not grow as the scale does ("length step"). All of it may be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;
class MeasureTable;

std::vector<StyleFinding> odd_steps(const StyleSpec& style, const StyleGrade& grade,
                                    const MeasureTable& table);

}  // namespace lastwright
