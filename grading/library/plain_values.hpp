// The engine's values in the words of the library's public header.
#pragma once

#include "grading/dies/die.hpp"
#include "grading/grade/finding.hpp"
#include "grading/library/lastwright.hpp"
#include "grading/pieces/graded_piece.hpp"

namespace lastwright::library {

Fault plain(const Problem& problem);
std::vector<Fault> plain(const std::vector<Problem>& problems);
std::vector<CheckResult> plain(const std::vector<StyleFinding>& findings);
Outline plain(const GradedPiece& piece);
// Without a size and width. Nicks that tell a size are among its lines.
Outline plain(const DieShape& shape, const std::string& piece);

}  // namespace lastwright::library
