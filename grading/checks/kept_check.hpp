// Conservation: what the style states is found again in what was made, each by a count of its own.
//
//   corners kept    every stated edge is one stretch of the net line, between its two corners where the grade
//                   puts them; every stated corner ends two edges
//   ties kept       sizes that are tied take the outline of the size that is stated
//   seams kept      every stated seam has been measured in every size and width
//   marks kept      as many holes, cut-outs, nicks and lines are drawn in a piece as the style states; "marks
//                   not counted" names what is drawn of a kind of which it states no number
//   measures kept   every stated measure asks of the formes what the table says of it
//
// Features, holes and marks are counted by `features`, allowances by `allowance`.
#pragma once

#include <optional>

#include "grading/checks/seams/seam_report.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// What is not kept of the edges and corners of a piece as it is drawn there.
std::optional<Problem> corners_lost(const StyleGrade& grade, const MadePiece& made);

StyleFinding ties_kept(const StyleGrade& grade);
StyleFinding seams_kept(const StyleSpec& style, const StyleGrade& grade,
                        const std::vector<SeamReport>& reports);
// One for each piece that states how many are drawn in it; and where any piece does, a doubtful one for each
// that has drawn what it does not state.
std::vector<StyleFinding> marks_kept(const StyleGrade& grade);
StyleFinding measures_kept(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table);

}  // namespace lastwright
