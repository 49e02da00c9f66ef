// Names of the files that belong to pieces, the same in every folder of a set.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/grade.hpp"

namespace lastwright {

// One safe name per piece, kept apart even when two piece names look alike.
std::vector<std::string> piece_names(const StyleGrade& grade);

// "8.5 F": what stands behind a piece's name in file names.
std::string cell_name(const StyleGrade& grade, std::size_t cell);

// By piece and cell: the name of its drawing in a set of graded pieces, without ending.
std::vector<std::vector<std::string>> piece_file_names(const StyleGrade& grade);

}  // namespace lastwright
