// Gates for a grading map: does it fold, do its fields
// leave their range, does it add waves to the last's lines.
//
// The kernel's validity check passes folded forms, so these are what keeps a bad last from leaving.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/lasts/axis_map.hpp"
#include "grading/lasts/landmarks.hpp"

namespace lastwright {

// Lines of the base that a last maker looks at, as material points from heel to toe.
struct LastLine {
  std::string name;     // "featherline outside", "ridge", ...
  bool in_plan = true;  // seen from above; else from the side
  std::vector<Vec3> points;
};
std::vector<LastLine> last_lines(const Body& body, const Standing& standing);

struct SoundnessLimits {
  double least_factor = 0.4;   // of a width or height factor relative to the stretch: below it the form is
                               // squeezed towards folding; lasts in use were found above 0.49
  double lowest_field = 0.75;  // of a field relative to its proportional value
  double highest_field = 1.30;
  double bend =
      3e-3;  // 1/mm that a field may add to a line: smooth, it is no wave, but twice a wave's strength
             // bends what the base's maker drew (where the top plane's rule and the girths part)
  double wave = 1.5e-3;  // 1/mm: a bow of 0.15 mm over 30 mm of a line: less is not a wave to eye and hand
  double bow = 0.1;      // mm: however strong, what bows by less along a line is none either
};

struct Soundness {
  double least_factor = 1.0;     // over the mesh: smallest of the width factor and of the height factor
  double least_factor_at = 0.0;  // station, share of the length
  double lowest_field = 1.0;     // relative to the proportional grade
  double lowest_at = 0.0;
  double highest_field = 1.0;
  double highest_at = 0.0;
  double added_curvature = 0.0;  // 1/mm: strongest that a field adds to the outermost line
  double added_curvature_at = 0.0;
  int new_waves = 0;              // changes of curvature sign that the base does not have
  std::string waves_on;           // the lines that got them
  std::vector<Problem> failures;  // empty: sound
};
// `prior`: the proportional grade of the same size and width, from which fields are judged.
Soundness judge(const AxisMap& map, const AxisMap& prior, const Body& body,
                const std::vector<LastLine>& lines, const SoundnessLimits& limits = {});

// The points of a line from which on its curvature has another sign than before; stretches of one sign that
// nowhere reach `wave` (1/mm) or bow by less than `bow` (mm) are left out.
std::vector<std::size_t> turns_of(const std::vector<Vec3>& line, bool in_plan, double wave, double bow);

}  // namespace lastwright
