// Which sizes and widths fit the readings of one last, beside what the whole batch shows.
#pragma once

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// Fills match, fits and certainty of every item. Items are those of report.layout.lasts.
void fit_items(BatchReport& report, const MeasureTable& table, const SizeRun& run,
               const SearchOptions& options);

}  // namespace lastwright
