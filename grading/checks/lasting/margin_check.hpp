// Edges that lie on a lasting edge and have no allowance to be lasted by: a lining that ends at the feather
// where its upper goes under the last. Only pieces that are sewn to others are asked: toe puffs and
// stiffeners may end there. And edges that run on where a lasted one ends, without an allowance
// (feather_ends).
//
// Edges that are stated as lasting and on which something lies that is no end at a feather: folded, bound or
// bagged, or trimmed where the piece has another lasted edge apart from it ("lasted edge").
//
// Large pieces on a forme that is neither upper nor bottom, without an allowance or a seam ("nothing
// lasted").
//
// And pieces stated as drawn cut whose drawn outline lies on the finished edges of others: their net lines
// are recovered inside, by allowances that the drawing has not got.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// Doubtful ones alone; the worst is the allowance of the edge that is lasted.
std::vector<StyleFinding> check_margins(const StyleSpec& style, const StyleGrade& grade);

// Doubtful ones alone; the worst is the length over which it lies there.
std::vector<StyleFinding> check_drawn_cut(const StyleGrade& grade);

}  // namespace lastwright
