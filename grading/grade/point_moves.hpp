// How far a drawn point goes in every size and width.
#pragma once

#include <vector>

#include "grading/grade/grade.hpp"

namespace lastwright {

// By cell of the grade; mm.
std::vector<Vec2> moves_in_cells(const GradedForme& forme, Vec2 drawn);

}  // namespace lastwright
