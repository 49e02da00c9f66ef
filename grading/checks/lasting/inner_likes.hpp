// What one piece has otherwise than its mates of the same layer, where both are stated.
//
//   inner margin   a stiffener or toe puff that ends at the feather, raw, under a lasted upper, beside
//   another
//                  inner part of the style that is lasted there
//   grain turned   a grain line square to those of all other pieces of the layer and forme, which lie one way
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

std::vector<StyleFinding> check_inner_likes(const StyleGrade& grade);

}  // namespace lastwright
