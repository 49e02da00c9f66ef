// Lines inside a piece that may be one line drawn in parts.
//
//   line parted   a line ends short of another of its layer that carries on there in its direction: with a
//   gap
//                 as small as nobody leaves on purpose it is made as two
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

std::vector<StyleFinding> check_parted_lines(const StyleGrade& grade);

}  // namespace lastwright
