// What the title block of a piece sheet takes from the style.
#pragma once

#include "cli/report/piece_sheet_svg.hpp"
#include "grading/piece_spec.hpp"

namespace lastwright {

PieceSheetInfo piece_sheet_info(const PieceSpec& piece, const std::string& style);

}  // namespace lastwright
