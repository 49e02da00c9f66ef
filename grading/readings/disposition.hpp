// What becomes of a batch, in one line for who has to act, and of each last.
#pragma once

#include <map>
#include <set>
#include <string>

#include "grading/readings/batch_report.hpp"

namespace lastwright {

// "accept 10 of 12 pairs; hold P07 (stamped 9 F, fits 9 E), P11 (right instep girth 2.85 mm over)". Where a
// finding concerns more than single lasts, what it concerns is held, and beside it only what it does not
// account for: "hold size 6.5 (6 of 30 pairs): the ball girth of size 6.5; accept the other 24".
// Causes that these readings cannot tell apart are each held for what it makes bad, and nothing else is.
struct Disposition {
  std::string line;
  std::map<std::string, std::string> held;  // by id, why: "left back height 5.87 mm over", "with size 6.5"
};
// Ids of the lasts that a cause makes bad, read of them or not: all of a size, a width or a hand that it
// speaks of, those a wrong step moves from the table, what a gauge read, a pair, a last; of the whole batch
// all.
std::set<std::string> made_bad(const Cause& cause, const BatchLayout& layout);
// Of a last in a table: "good", "held: left back height 5.87 mm over", "beyond limit", "mis-stamped",
// "doubtful".
std::string item_result(const JudgedItem& item, const Disposition& disposed);
Disposition dispose(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits,
                    std::size_t bad_rows);
std::string disposition(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits,
                        std::size_t bad_rows);

}  // namespace lastwright
