// What becomes of a batch, in one line for who has to act.
#pragma once

#include <string>

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// "accept 10 of 12 pairs; hold P07 (stamped 9 F, fits 9 E), P11 (right instep girth 2.85 mm over)". Where a
// finding concerns more than single lasts, what it concerns is held, and beside it only what it does not
// account for: "hold size 6.5 (6 of 30 pairs): the ball girth of size 6.5; accept the other 24".
std::string disposition(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits,
                        std::size_t bad_rows);

}  // namespace lastwright
