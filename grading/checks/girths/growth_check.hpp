// Pieces that run from end to end of their forme (an insole, an outsole, a whole-cut upper) and do not grow
// as it does: tied over sizes, held, or pulled by a rule. Other pieces may be tied: stiffeners, shanks, and
// straps on formes of their own, which are neither upper nor bottom by role and in no girth.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct FormeSpec;
struct StyleSpec;

// What lies on the last is upper or bottom by its role, or its line is part of a girth; a strap is neither.
bool of_the_last(const StyleSpec& style, const FormeSpec& forme);

// Such pieces of the bottom are cut once for each shoe; another number is told as well ("piece number"). Of
// tied sizes ("tied sizes"): a size between two groups that is in none, a group over more than two sizes, and
// one that takes the outline of another size than the same group of another piece, or of another place in it
// than its like. One for each such piece, doubtful; the worst is how much longer or shorter it is, along the
// base line, than its forme's length line asks.
std::vector<StyleFinding> check_growth(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
