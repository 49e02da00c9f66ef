// Whether the two sides of a seam are mates at all: their treatments, hands, layers and numbers go together,
// and no other seam joins the same two edges.
#pragma once

#include <vector>

#include "grading/checks/seams/seam_report.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

// Doubtful ones alone: a word may be meant otherwise.
std::vector<StyleFinding> check_mates(const StyleSpec& style, const StyleGrade& grade,
                                      const std::vector<SeamReport>& reports);

}  // namespace lastwright
