// What a batch of readings says, in words with figures.
#pragma once

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// Fewer lasts than this say nothing about the batch.
inline constexpr std::size_t kLeastForCommon = 8;

struct GaugeOffset {
  std::string gauge;
  Summary summary;     // deviations from the table
  double apart = 0.0;  // from the other gauges, millimetres
};
std::string describe_gauge(const GaugeOffset& gauge, double confidence);

// "99.9": never rounded up to a certainty that no readings give; findings and tables use the same figure.
double certainty_percent(double certainty);

// Everything but the gauges: offsets, wrong steps, drifted sizes and widths, mis-stamped lasts, readings and
// pairs beyond their limit. Readings that a finding about the whole batch brings back within their limit are
// counted in one finding a measure.
std::vector<Finding> describe_batch(const BatchReport& report, const MeasureTable& table,
                                    const ReadingLimits& limits, const BatchOptions& options);

// The two increments of the trade nearest to a fitted step and no further than `within` from it, both
// millimetres: "3/16 in (4.76 mm)", "5 mm".
std::vector<std::string> plain_increments(double value, double within);

}  // namespace lastwright
