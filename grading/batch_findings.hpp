// What a batch of readings says, in words with figures.
#pragma once

#include "grading/batch_report.hpp"

namespace lastwright {

// Fewer lasts than this say nothing about the batch.
inline constexpr std::size_t kLeastForCommon = 8;

struct GaugeOffset {
  std::string gauge;
  Summary summary;     // deviations from the table
  double apart = 0.0;  // from the other gauges, millimetres
};
std::string describe_gauge(const GaugeOffset& gauge, double confidence);

// Everything but the gauges: offsets, wrong steps, drifted sizes and widths, mis-stamped lasts and pairs.
std::vector<Finding> describe_batch(const BatchReport& report, const MeasureTable& table,
                                    const ReadingLimits& limits, const BatchOptions& options);

// The two increments of the trade nearest to a fitted step and no further than `within` from it, both
// millimetres: "3/16 in (4.76 mm)", "5 mm".
std::vector<std::string> plain_increments(double value, double within);

}  // namespace lastwright
