// Bias and spread of the deviations from the table: of all, of each size, width, hand and gauge.
#pragma once

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// Lasts that were found to be other cells are left out.
std::vector<Group> batch_groups(const BatchReport& report, const MeasureTable& table, const SizeRun& run,
                                double confidence);

}  // namespace lastwright
