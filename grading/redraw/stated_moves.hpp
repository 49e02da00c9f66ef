// What a style states by other things, and what therefore lies elsewhere once its drawing has changed: points
// along an edge, measure lines, features. All in the base size, as it is drawn.
//
// What differs by more than kSameDrawn is told, with its old and its new place, and nothing else is; what
// stands among `moved` by its pointer or one below it is not told again.
#pragma once

#include <string>
#include <vector>

#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/redraw/redraw_style.hpp"

namespace lastwright {

// Of the formes. Both styles have the same formes and points.
void tell_moved_points(const StyleSpec& was, const StyleSpec& now, std::vector<MovedPlace>& moved);

// Measure and check lines of which an end has moved, each with its ends and lengths.
void tell_moved_lines(const StyleSpec& was, const StyleSpec& now, std::vector<std::string>& told);

// Features, by the place of theirs that has moved farthest, where the sheet has it for a piece that is laid
// from elsewhere. In words, in `told`: one that makes more or fewer things, and one that cannot be made any
// more. `graded` is `now`'s.
void tell_moved_features(const LoadedStyle& was, const LoadedStyle& now, const StyleGrade& graded,
                         std::vector<MovedPlace>& moved, std::vector<std::string>& told);

}  // namespace lastwright
