// Whether the foot that a piece of the upper is stated to be drawn for is the one that its name and its forme
// show.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"

namespace lastwright {

struct StyleGrade;
struct StyleSpec;

// Of each handed piece of the upper that states one foot, by itself or with the style: its name says a side
// (grading/pieces/named_side), and as it lies on its forme it is the other foot's ("drawn foot", doubtful).
// Its own lasted edges say which side of it is up, else those of all pieces of its forme where they agree.
// Nothing is said where name, layer or forme do not decide it.
std::vector<StyleFinding> check_upper_feet(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
