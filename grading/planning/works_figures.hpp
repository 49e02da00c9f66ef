// Figures of a works file that cannot be, though each is a number of its kind.
#pragma once

#include <vector>

#include "geometry/problem.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

// Each with its place, value and limit: lots that used less than a fifth or more than 20 times of the scale
// area of their pieces. Common practice: a fifth to a half more than it.
std::vector<Problem> impossible_figures(const WorksSpec& works);

}  // namespace lastwright
