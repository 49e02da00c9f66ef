// Whether the foot that a style says its formes are drawn for is the one that its bottoms show.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"

namespace lastwright {

struct StyleGrade;
struct StyleSpec;

// Of each bottom with a heel and a toe by name: the points, corners and edges that are named inside and
// outside lie as on the other foot ("drawn foot", doubtful); by itself of a piece that states another foot.
// Seen from above, the inside of a left foot lies to the right of the way from heel to toe. Nothing is said
// where no foot is stated, or the names disagree.
std::vector<StyleFinding> check_drawn_foot(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
