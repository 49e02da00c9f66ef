// The steps by size and width that a batch was really graded with.
#pragma once

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// Generalised least squares of each measure on its offset and its steps, with the weights, pairs and lasts of
// the model, without what sound work may do. Steps and offsets that were found stay in; everything else that
// was found is set right.
std::vector<GradedSteps> graded_steps(const BatchReport& report, const std::vector<Reading>& readings,
                                      const MeasureTable& table, double confidence);

// An estimate of known standard error, with its interval.
Estimate estimate(double value, double error, double confidence);

}  // namespace lastwright
