// What the title block of a piece sheet takes from the style: the allowances are those of its size.
#pragma once

#include "cli/report/piece_sheet_svg.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// A cell whose sizes are tied is told by the size it is made as.
PieceSheetInfo piece_sheet_info(const StyleSpec& style, const StyleGrade& grade, std::size_t piece,
                                std::size_t cell);

}  // namespace lastwright
