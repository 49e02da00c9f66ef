// Finds the map that gives a form its measures: least bending of the fields subject to measure(p) = target.
//
// Newton on the constraints with analytic gradients. The energy steers the
// first steps only; from then on each correction is the smallest one in the
// energy's own norm, which cannot cycle in the constraints' null space.
#pragma once

#include <vector>

#include "grading/lasts/last_measure.hpp"

namespace lastwright {

struct MeasureTarget {
  MeasureDefinition definition;
  double value = 0.0;  // mm
};

struct FitOptions {
  double close = 1e-5;  // mm: all targets this near end the search
  int steps = 30;
  int steered_steps = 3;        // steps in which the energy pulls towards the smoothest solution
  double towards_prior = 0.02;  // weight of staying near the proportional grade against bending
};
struct Fit {
  AxisMap map;
  int steps = 0;
  double worst = 0.0;  // largest miss of a target, mm
};
// `start` carries the frame, the stretch, the lifts and the prior fields. Refuses targets that cannot be met
// together (names the worst) and measures whose gradients coincide.
Result<Fit> fit_targets(const Body& body, const Landmarks& landmarks, const AxisMap& start,
                        const std::vector<MeasureTarget>& targets, const FitOptions& options = {});

}  // namespace lastwright
