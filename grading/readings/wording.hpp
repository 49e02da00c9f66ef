// What a batch of readings says, in words with figures.
#pragma once

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// "99.9": never rounded up to a certainty that no readings give.
double certainty_percent(double certainty);

// "400 times", "over a million times": how much less likely the next best explanation is.
std::string odds_text(double log_odds);

// A cause without its amount: "the ball girth of size 9", "the whole batch one width wide".
std::string short_name(const Cause& cause, const BatchLayout& layout, const MeasureTable& table);

BatchFinding::Kind finding_kind(Cause::Kind kind);

// One finding for each cause of the report, with its amount and how much worse the next best explanation is.
std::vector<BatchFinding> cause_findings(const BatchReport& report, const MeasureTable& table,
                                         double confidence);

// Readings and pairs beyond their limit, readings that belong to nothing the batch shows, and what is left.
// Readings that the causes bring back within their limit are counted in one finding a measure.
std::vector<BatchFinding> limit_findings(const BatchReport& report, const MeasureTable& table,
                                         const ReadingLimits& limits);

}  // namespace lastwright
