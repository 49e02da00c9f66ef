// How the girths of a last are shared between its upper and its bottom, and how the shares change with the
// tread: what the lines of a style's formes should carry.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/last_measure.hpp"

namespace lastwright {

struct GirthShare {
  std::string girth;
  double upper = 0.0;   // mm on the last that others grow from: of the tape, less the bottom's skin
  double bottom = 0.0;  // mm on it
  // The bottom's part grows by so much of what the tread grows by; the upper's by the girth less that. None:
  // no last of the run has another tread.
  std::optional<double> of_tread;
  double residual = 0.0;  // mm: the largest miss of that in the run
};
// No bottom takes less than nothing, or more than the whole, of what its tread grows by.
bool impossible(const GirthShare& share);

// Least squares over the lasts of a run, each with its measures in the order of the definitions. `base`: of
// the last that they grow from. Girths by plane-hull whose section has a bottom part.
std::vector<GirthShare> girth_shares(const std::vector<MeasureDefinition>& definitions,
                                     const std::vector<Measured>& base,
                                     const std::vector<std::vector<Measured>>& run);

}  // namespace lastwright
