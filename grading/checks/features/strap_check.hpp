// The holes of a strap: a piece as wide all along, three times as long as wide or more, on no fold.
//
//   off the middle  holes that lie in a line along it, beside its middle
//   hole pitch      three drawn holes or more at one distance along it, which changes over the sizes: drawn
//                   holes move as the piece grows, and a buckle wants one pitch. Told with the pitch in the
//                   smallest, the base and the largest size, in the base's width where the run has it, and
//                   with the row that holds it
#pragma once

#include <cstddef>
#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// Doubtful ones alone; nothing of another piece.
void check_strap(const StyleGrade& grade, std::size_t piece, std::vector<StyleFinding>& all);

}  // namespace lastwright
