// Widths of a run that are whole numbers in a row (1, 2, 3) on a ladder that has others between them: what is
// stated for a width step is half or less of what lies from one of them to the next ("measure step"). It may
// be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;
class MeasureTable;

std::vector<StyleFinding> width_steps_left_out(const StyleSpec& style, const StyleGrade& grade,
                                               const MeasureTable& table);

}  // namespace lastwright
