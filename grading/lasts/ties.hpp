// The tie between the last in 3D and the formes in 2D: at each girth of the style the length around the
// last's upper and across its bottom, beside the length of the formes' lines that share the girth.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"
#include "grading/lasts/last_measure.hpp"

namespace lastwright {

struct GirthTie {
  std::string girth;
  std::string definition;     // how the last's girth is taken
  double last_upper = 0.0;    // mm around the last, on faces that are not bottom
  double last_bottom = 0.0;   // mm across its bottom
  double formes_upper = 0.0;  // the lines of the upper's formes, each as often as it counts
  double formes_bottom = 0.0;
};

// One for each girth of the style that was measured as a section. `values` in the order of `definitions`. A
// forme's line is as long as drawn in the style's base size, plus what it carries from there to `at`.
std::vector<GirthTie> ties_of(const LoadedStyle& style, const SizeWidth& at,
                              const std::vector<MeasureDefinition>& definitions,
                              const std::vector<Measured>& values);

// A girth is shared between the last's upper and its bottom: refuses a style with a girth over a forme of
// which nothing says which of the two it is.
Status girths_have_roles(const StyleSpec& style);

}  // namespace lastwright
